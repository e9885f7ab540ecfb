/** A call to a worker, waited for no longer than a worker that lives could need. */
const ANSWER_MS = 3000;

/** A worker that has died leaves its calls open for ever: nobody waits for them longer than this. */
export async function answered(call: Promise<void> | undefined): Promise<void> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<void>((resolve) => (timer = setTimeout(resolve, ANSWER_MS)));
  await Promise.race([call, late]);
  clearTimeout(timer);
}
