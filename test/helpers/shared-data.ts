/** Data that nobody of this project recorded: it stands beside the project, or it does not. */
import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, test } from 'vitest';

const FOLDER = resolve(import.meta.dirname, '../../../shared/data');

/** The folder `../shared/data` beside the project, or a path in it; null where it does not stand there. */
export function sharedData(path = ''): string | null {
  const full = resolve(FOLDER, path);
  return existsSync(full) ? full : null;
}

/** Tests on outside data. Where the data is not there, one test says plainly that they did not run.
 * @param path a folder or file in ../shared/data
 * @param tests registers the tests, given the full path */
export function describeSharedData(title: string, path: string, tests: (fullPath: string) => void): void {
  describe(title, () => {
    const full = sharedData(path);
    if (full !== null) return tests(full);
    test(`did not run: ../shared/data/${path} is not beside the project`, () => {
      console.warn(`${title}: did not run, for ../shared/data/${path} is not beside the project`);
    });
  });
}
