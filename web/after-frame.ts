/** What can wait until the person has seen what they did. */

export type Later = (task: () => void) => void;

/** After the next frame is drawn. In a hidden tab, which draws none, soon. */
export const afterFrame: Later = (task) => {
  if (typeof requestAnimationFrame !== 'function' || document.hidden) setTimeout(task, 0);
  else requestAnimationFrame(() => setTimeout(task, 0));
};
