/** Eight simulated hours of listening, fed faster than real time: what a block costs and what memory holds in each hour,
 * as ratios of the last hour to the first. CLAMPLINE_BENCH_HOURS for fewer. */
import { getHeapStatistics, setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { AnalysisSession } from '../../web/worker/analysis-session';
import { madeMinute } from './long-file';
import { RATE_HZ } from './settings';

const HOURS = Number(process.env['CLAMPLINE_BENCH_HOURS'] ?? 8);
const BLOCK_FRAMES = 2048; // as the worklet sends them
const PLUG = { strokes: 4, cylinders: 8, pickup: 'plug', crankSensor: null } as const;

interface Hour {
  readonly blockUs: number;
  readonly heapMb: number;
  readonly outsideMb: number;
  readonly strikes: number;
}

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;
/** Processor time of this process: what else runs on the machine does not count. */
const cpuMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};
const megabytes = (bytes: number): number => bytes / 1e6;

function listenForAnHour(session: AnalysisSession, minute: Float32Array): Hour {
  const startMs = cpuMs();
  let blocks = 0;
  for (let m = 0; m < 60; m++)
    for (let at = 0; at < minute.length; at += BLOCK_FRAMES, blocks++)
      session.samples([minute.subarray(at, at + BLOCK_FRAMES)]);
  const blockUs = (1000 * (cpuMs() - startMs)) / blocks;
  collect();
  return {
    blockUs,
    heapMb: megabytes(getHeapStatistics().used_heap_size),
    outsideMb: megabytes(process.memoryUsage().arrayBuffers),
    strikes: session.said().report.strikes,
  };
}

export async function benchLive(folder: string): Promise<void> {
  const bytes = await madeMinute(folder);
  const whole = new Int16Array(bytes.buffer, bytes.byteOffset, bytes.length >> 1);
  const minute = Float32Array.from(whole, (sample) => sample / 32_768);
  const session = new AnalysisSession({ sampleRateHz: RATE_HZ, engine: PLUG, channel: 0, startS: 0 });
  const hours: Hour[] = [];
  for (let hour = 1; hour <= HOURS; hour++) {
    session.startTraceAt((hour - 1) * 3600); // a run an hour: the trace is put away and begins anew
    const heard = listenForAnHour(session, minute);
    hours.push(heard);
    console.log(
      `hour ${hour}: ${heard.blockUs.toFixed(0)} us a block, heap ${heard.heapMb.toFixed(1)} MB, beside it ${heard.outsideMb.toFixed(1)} MB, ${heard.strikes} strikes so far`,
    );
  }
  const [first, last] = [hours[0]!, hours[hours.length - 1]!];
  const blockMs = (1000 * BLOCK_FRAMES) / RATE_HZ;
  console.log(
    `ratio last / first hour: cost of a block ${(last.blockUs / first.blockUs).toFixed(2)}, heap ${(last.heapMb / first.heapMb).toFixed(2)}, beside it ${(last.outsideMb / first.outsideMb).toFixed(2)}; ` +
      `share of real time ${((100 * last.blockUs) / 1000 / blockMs).toFixed(2)} %`,
  );
}
