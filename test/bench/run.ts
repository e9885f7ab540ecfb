/** `npm run bench`: speed, memory, page weight and latency, as ratios against a yardstick in the same run. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { benchCrash } from './crash';
import { benchDecode } from './decode';
import { benchDraws } from './draws';
import { benchEngines } from './engines';
import { benchFirstLoad } from './first-load';
import { benchKill } from './kill';
import { benchLatency } from './latency';
import { benchLive } from './live';
import { benchMainThread } from './main-thread';
import { benchPageWeight } from './page-weight';
import { benchYardstick } from './yardstick';

const PARTS = {
  decode: benchDecode,
  weight: benchPageWeight,
  live: benchLive,
  latency: benchLatency,
  thread: benchMainThread,
  load: benchFirstLoad,
};
/** Long ones, run when they are asked for by name. */
const ASKED_ONLY = {
  crash: benchCrash,
  kill: benchKill,
  draws: benchDraws,
  engines: benchEngines,
  yardstick: benchYardstick,
};

const wanted = process.argv.slice(2);
const folder = mkdtempSync(join(tmpdir(), 'clampline-bench-'));
try {
  for (const [name, bench] of Object.entries({ ...PARTS, ...ASKED_ONLY })) {
    if (wanted.length > 0 ? !wanted.includes(name) : name in ASKED_ONLY) continue;
    console.log(`\n${name}`);
    await bench(folder);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
