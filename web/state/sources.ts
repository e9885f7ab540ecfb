/** The sources of sound as the live state handles them: each opens, joins the analysis (again, if that was started
 * anew), and lets go. */
import { transfer, type Remote } from 'comlink';
import { openLineInput, type InputEvent } from '../audio/line-input';
import type { PracticeApi, PracticeSetUp } from '../practice/practice-api';
import { PracticePanel } from '../practice/practice-controls.svelte';
import type { AnalysisApi, AnalysisEngine } from '../worker/analysis-api';
import { connect } from '../worker/connect';
import type { InputFacts, SourceKind } from './contracts';

export interface JoinOptions {
  readonly engine: AnalysisEngine;
  readonly channel: number;
  readonly runId: string | null;
  readonly keepSound: boolean;
  readonly startS: number;
}

export interface Source {
  readonly kind: SourceKind;
  /** null for a file: what it holds is learnt as it is read. */
  readonly facts: InputFacts | null;
  readonly deviceId: string | null;
  readonly practice: PracticePanel | null;
  /** false: it would start from its beginning. */
  readonly canJoinAgain: boolean;
  join(api: Remote<AnalysisApi>, options: JoinOptions): Promise<void>;
  /** Wakes what the browser holds back; from a tap or key press. */
  wake(): Promise<void>;
  /** Frames that the system dropped unseen so far; null where nothing says so. */
  droppedFrames(): number | null;
  close(): Promise<void>;
}

const still = {
  deviceId: null,
  practice: null,
  wake: () => Promise.resolve(),
  droppedFrames: () => null,
};

/** @throws as openLineInput */
export async function lineSource(
  deviceId: string | null,
  onEvent: (event: InputEvent) => void,
): Promise<Source> {
  const input = await openLineInput(deviceId, onEvent);
  const { sampleRateHz } = input.facts;
  return {
    ...still,
    kind: 'line input',
    facts: input.facts,
    deviceId: input.deviceId,
    canJoinAgain: true,
    async join(api, options) {
      const port = input.newPort();
      await api.listen({ ...options, sampleRateHz, source: 'line input' }, transfer(port, [port]));
    },
    wake: () => input.resume(),
    droppedFrames: () => input.droppedFrames(),
    close: () => input.close(),
  };
}

export function fileSource(file: File, paced: 'fast' | 'real time'): Source {
  return {
    ...still,
    kind: 'recording',
    facts: null,
    canJoinAgain: false,
    join(api, { engine, channel, runId, startS }) {
      const options = { engine, channel, runId, startS, keepSound: false };
      void api.readFile(file, options, paced); // it settles at the file's end; how it goes is pulled
      return Promise.resolve();
    },
    close: () => Promise.resolve(),
  };
}

const PRACTICE_RATE_HZ = 48_000;
const PRACTICE_HOUSING_DEG = 8;

/** @param onEnd told in a few words when the practice engine's thread has died
 *  @throws RangeError for an engine that cannot be */
export async function practiceSource(
  engine: AnalysisEngine,
  seed: number,
  onEnd: (words: string) => void,
): Promise<Source> {
  const worker = new Worker(new URL('../practice/practice.worker.ts', import.meta.url), {
    type: 'module',
    name: 'practice engine',
  });
  const { api: bench, close } = connect<PracticeApi>(worker, onEnd);
  const setUp: PracticeSetUp = {
    sampleRateHz: PRACTICE_RATE_HZ,
    seed,
    engine,
    housingDeg: PRACTICE_HOUSING_DEG,
    // As found: late, and every corner of its curve within a usual list of steps.
    springsId: 'heavy',
    stopId: 'short',
  };
  await bench.start(setUp);
  return {
    ...still,
    kind: 'practice engine',
    facts: {
      label: 'Practice engine',
      sampleRateHz: PRACTICE_RATE_HZ,
      channelCount: engine.crankSensor ? 2 : 1,
      processingOn: [],
    },
    practice: new PracticePanel(bench, setUp, (error) => onEnd(String(error))),
    canJoinAgain: true,
    async join(api, options) {
      const { port1, port2 } = new MessageChannel();
      const listening = { ...options, sampleRateHz: PRACTICE_RATE_HZ, source: 'practice engine' } as const;
      await api.listen(listening, transfer(port1, [port1]));
      await bench.sendTo(transfer(port2, [port2]));
    },
    close() {
      close();
      return Promise.resolve();
    },
  };
}
