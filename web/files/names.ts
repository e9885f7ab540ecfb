/** Names of the files that are saved: job, run and kind in, a name that every file system takes out. */
import type { Run } from '../../core/job';

/** @returns letters and digits of any script, parted by "-"; never empty, never a device's name, at most 60 long */
export function safeName(text: string): string {
  const plain = text
    .normalize('NFC')
    .replace(/[^\p{L}\p{M}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '');
  const short = Array.from(plain).slice(0, 60).join('').replace(/-+$/, '');
  return short === '' ? 'job' : short;
}

/** A moment as part of a name, local time: "2026-10-14-1705". */
function nameOfMoment(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return 'undated';
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}-${two(at.getHours())}${two(at.getMinutes())}`;
}

/** "clampline-<job>-<run's date>-<what>", the extension with it. */
export const runFileName = (jobName: string, run: Pick<Run, 'startedAt'>, what: string): string =>
  `clampline-${safeName(jobName)}-${nameOfMoment(run.startedAt)}-${what}`;

export const backupFileName = (savedAt: string): string => `clampline-all-jobs-${nameOfMoment(savedAt)}.json`;

export const jobFileName = (jobName: string): string => `clampline-${safeName(jobName)}.json`;
