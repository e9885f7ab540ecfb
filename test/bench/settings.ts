/** What the benchmarks share. */
import { join, resolve } from 'node:path';

export const ROOT = resolve(import.meta.dirname, '../..');
export const RATE_HZ = 48_000;
/** The command line as its launcher starts it. */
export const CLI = [join(ROOT, 'core/clampline.mjs')];
/** The yardstick: a short numpy and scipy program, beside the project where it is to be had. */
export const YARDSTICK = resolve(ROOT, '../shared/yardstick/decode.py');
/** Minutes of the recording that both decode; CLAMPLINE_BENCH_MINUTES=30 for the long comparison. */
export const MINUTES = Number(process.env['CLAMPLINE_BENCH_MINUTES'] ?? 10);
