/** What the analysis thread does with its calls: one source at a time, its session and its keeping. Knows no thread. */
import { transfer } from 'comlink';
import type { HeardSignal } from '../../core/decode-heard';
import { WavError } from '../../dsp/wav/wav-format';
import type { WavFacts } from '../../dsp/wav/wav-reader';
import type { TraceStore } from '../store/trace-store';
import type {
  AnalysisApi,
  AnalysisEngine,
  FileOptions,
  FileProgress,
  Latest,
  ListenOptions,
  SoundBlock,
} from './analysis-api';
import { AnalysisSession, NOTHING_HEARD, type SessionOptions } from './analysis-session';
import { BlockIntake } from './block-intake';
import { readRecording, type RoadSink } from './file-road';
import { Keeper } from './keeper';
import { TraceBuffer } from './trace-buffer';

const LOWEST_SAMPLE_RATE_HZ = 4000; // below, a strike has no shape
const NO_FILE: FileProgress = { share: 0, done: false, problem: null, warnings: [] };

export class Analysis implements AnalysisApi {
  readonly #keeper: Keeper;
  /** Raised at each new trace; what `latest` calls the session. */
  #traceNumber = 0;
  /** Raised at each new source: one that was replaced notices. */
  #sourceNumber = 0;
  #session: AnalysisSession | null = null;
  #intake: BlockIntake | null = null;
  #blocks: MessagePort | null = null;
  #file: FileProgress | null = null;
  #fileChannels = 0;
  #fileOptions: FileOptions | null = null;
  #keeping: { readonly runId: string | null; readonly sound: boolean } = { runId: null, sound: false };

  /** @param problemText says what the store refused as a sentence */
  constructor(openStore: () => Promise<TraceStore>, problemText: (error: unknown) => string) {
    this.#keeper = new Keeper(openStore, problemText);
  }

  listen(options: ListenOptions, blocks: MessagePort): void {
    this.#replaceSource(options.runId, options.keepSound);
    const session = this.#begin(options);
    const { sampleRateHz } = options;
    const intake = new BlockIntake(sampleRateHz, options.source, {
      samples: (channels) => {
        this.#keeper.sound({ timeS: session.timeS, sampleRateHz }, channels);
        session.samples(channels);
      },
      lose: (frames) => session.lose(frames),
      segment: () => session.segment(),
    });
    this.#intake = intake;
    this.#blocks = blocks;
    blocks.onmessage = ({ data }: MessageEvent<SoundBlock>) => {
      intake.take(data);
      blocks.postMessage(
        data.channels,
        data.channels.map(({ buffer }) => buffer),
      );
    };
  }

  async readFile(file: Blob, options: FileOptions, paced: 'fast' | 'real time'): Promise<void> {
    const source = this.#replaceSource(options.runId, false);
    this.#traceNumber++; // rows of the source before are void at once
    this.#file = NO_FILE;
    this.#fileOptions = options;
    const replaced = (): boolean => this.#sourceNumber !== source;
    const end = await readRecording(file, paced, this.#fileSink(), replaced);
    if (replaced()) return;
    this.#session?.finish();
    await this.#keeper.flush();
    const name = file instanceof File ? file.name : 'The recording';
    this.#file = {
      share: end.problem === null ? 1 : this.#file.share,
      done: true,
      problem: end.problem && `${name} ${end.problem}.`,
      warnings: end.warnings.map((warning) => `${name} ${warning}.`),
    };
  }

  change(engine: AnalysisEngine, channel: number): void {
    if (this.#fileOptions) this.#fileOptions = { ...this.#fileOptions, engine, channel };
    this.#session?.change(engine, channel);
  }

  async keepFor(runId: string | null, keepSound: boolean, startS: number): Promise<void> {
    this.#keeping = { runId, sound: keepSound };
    const session = this.#session;
    if (this.#fileOptions && !session) this.#fileOptions = { ...this.#fileOptions, startS };
    if (runId === null || !session) return this.#keeper.keep(null, new TraceBuffer(), false);
    this.#traceNumber++;
    const before = this.#keeper.flush(); // takes the rows of the trace before
    session.startTraceAt(startS);
    await Promise.all([before, this.#keeper.keep(runId, session.trace, keepSound)]);
  }

  noteDropped(frames: number): void {
    this.#intake?.noteDropped(frames);
  }

  putAway(): Promise<void> {
    return this.#keeper.putAway();
  }

  async stop(): Promise<void> {
    this.#endSource();
    await this.#keeper.flush();
  }

  latest(session: number, haveRow: number): Latest {
    const { trace } = this.#session ?? { trace: new TraceBuffer() };
    const fromRow = session === this.#traceNumber ? Math.min(haveRow, trace.length) : 0;
    const rows = { fromRow, settledRow: trace.settled, ...trace.copyFrom(fromRow) };
    const said = this.#session?.said() ?? NOTHING_HEARD;
    const latest: Latest = {
      ...said,
      report: this.#intake?.repeats
        ? { ...said.report, state: 'lost', reason: 'input repeats' }
        : said.report,
      session: this.#traceNumber,
      sampleRateHz: this.#session?.sampleRateHz ?? 0,
      channelsIdentical: this.#intake?.channelsIdentical ?? null,
      channelCount: this.#intake?.channelCount ?? this.#fileChannels,
      lostBlocks: this.#intake?.lostBlocks ?? 0,
      lostFrames: this.#intake?.lostFrames ?? 0,
      unheardS: this.#intake?.unheardS ?? 0,
      rows,
      fileProgress: this.#file,
      keepingProblem: this.#keeper.problem,
    };
    return transfer(latest, [rows.timeS.buffer, rows.rpm.buffer, rows.rpmSd.buffer]);
  }

  heard(): HeardSignal | null {
    return this.#session?.heard() ?? null;
  }

  /** @returns the number of the source that comes */
  #replaceSource(runId: string | null, sound: boolean): number {
    this.#endSource();
    void this.#keeper.flush();
    this.#session = null;
    this.#intake = null;
    this.#file = null;
    this.#fileOptions = null;
    this.#fileChannels = 0;
    this.#keeping = { runId, sound };
    return ++this.#sourceNumber;
  }

  #endSource(): void {
    this.#sourceNumber++;
    if (this.#blocks) this.#blocks.onmessage = null;
    this.#blocks?.close();
    this.#blocks = null;
    if (this.#file?.done !== true) this.#session?.finish();
  }

  #begin(options: SessionOptions): AnalysisSession {
    this.#session = new AnalysisSession(options);
    this.#traceNumber++;
    void this.#keeper.keep(this.#keeping.runId, this.#session.trace, this.#keeping.sound);
    return this.#session;
  }

  #fileSink(): RoadSink {
    return {
      facts: (facts) => {
        this.#fileChannels = facts.channelCount;
        this.#begin({ ...this.#fileOptions!, sampleRateHz: checkedRate(facts) });
      },
      samples: (channels) => this.#session!.samples(channels),
      share: (share) => (this.#file = { ...this.#file!, share }),
    };
  }
}

function checkedRate({ sampleRateHz }: WavFacts): number {
  if (sampleRateHz >= LOWEST_SAMPLE_RATE_HZ) return sampleRateHz;
  throw new WavError(
    `has a sample rate of ${sampleRateHz} Hz; strikes can be followed from ${LOWEST_SAMPLE_RATE_HZ} Hz up`,
  );
}
