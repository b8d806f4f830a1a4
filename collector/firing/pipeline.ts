/**
 * From the links' lines to the core's outputs: the one way that live watching, a played capture and `rerun` all go.
 * Pure: time comes in with each input; what is to be done (send a line, open a port again) goes out as outputs.
 */
import type { Hello } from '../../protocol/board-lines.ts';
import type { LogEntry } from '../../protocol/log-entries.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { CoreInput, CoreOutput, ReadingInput, TroubleWith } from '../core/inputs.ts';
import { type FiringState, newFiring } from '../core/state.ts';
import { LONGEST_TICKED_S, step } from '../core/step.ts';
import { type Boards, type Desk, type DeskOutput, deskStep, newBoards, openDesk } from '../lines/desk.ts';

/**
 * `at` is host time in firing time, epoch ms. Whole seconds that have gone by are ticked before each input. `heardTo`:
 * what came over the links after this may not have been looked at yet, so the desks are not ticked beyond it; left out
 * where all has been.
 */
export type PipelineInput = { heardTo?: number } & (
  | { kind: 'opened' | 'closed'; at: number; link: string }
  | { kind: 'line'; at: number; link: string; text: string }
  | { kind: 'log'; at: number; log: LogEntry }
  | { kind: 'trouble'; at: number; what: TroubleWith; text: string | null }
  | { kind: 'tick'; at: number }
);

export type PipelineOutput =
  | CoreOutput
  /** These went into the core with this time: the archive keeps them, for they make the firing what it is. */
  | { kind: 'took-hello'; at: number; hello: Hello }
  | { kind: 'took-log'; at: number; log: LogEntry }
  /** What a link's desk wants or has to say. */
  | { kind: 'desk'; link: string; output: Exclude<DeskOutput, { kind: 'reading' | 'hello' }> };

/**
 * The core's time follows so far behind the host's where no reading drives it on: a reading that was a moment on its way
 * is not overtaken by the ticks.
 */
export const TICK_SLACK_MS = 2000;
/** A reading that the core's time has overtaken by more than this is late. */
const OVERTAKEN_MS = 5000;

export interface Pipeline {
  core: FiringState;
  desks: Map<string, Desk>;
  boards: Boards;
  slackMs: number;
  /** The last whole second of host time that was ticked, and that the desks were ticked for. */
  tickedS: number | null;
  desksTickedS: number;
  /** The core's last input was a reading: a log entry of the very same millisecond is put one later. */
  lastWasReading: boolean;
  /**
   * Late readings that came after a log entry wait for the next reading that is on time, and go in right behind it: so
   * the archive, which keeps entries and readings apart, tells the order of all.
   */
  held: ReadingInput[];
  loggedSince: boolean;
}

export function newPipeline(plan: Plan, slackMs = TICK_SLACK_MS): Pipeline {
  return {
    core: newFiring(plan),
    desks: new Map(),
    boards: newBoards(),
    slackMs,
    tickedS: null,
    desksTickedS: Number.NEGATIVE_INFINITY,
    lastWasReading: false,
    held: [],
    loggedSince: false,
  };
}

/** The desk of a link, opened at its first mention. */
export function deskOf(pipeline: Pipeline, link: string): Desk {
  let desk = pipeline.desks.get(link);
  if (!desk) {
    desk = openDesk({ link, plain: pipeline.core.plan.plainBoard, boards: pipeline.boards });
    pipeline.desks.set(link, desk);
  }
  return desk;
}

type Emit = (output: PipelineOutput) => void;

/** One input; the pipeline is advanced in place. */
export function pipelineStep(pipeline: Pipeline, input: PipelineInput): PipelineOutput[] {
  const outputs: PipelineOutput[] = [];
  pipelineEach(pipeline, input, (output) => outputs.push(output));
  return outputs;
}

/** The same, with each output handed on as it is made: the pipeline's state is then what it was at that output. */
export function pipelineEach(pipeline: Pipeline, input: PipelineInput, emit: Emit): void {
  tickTo(pipeline, input.at, input.heardTo ?? input.at, emit);
  switch (input.kind) {
    case 'opened':
    case 'closed': {
      const { kind, at, link } = input;
      takeDesk(pipeline, link, deskStep(deskOf(pipeline, link), { kind, at }), emit);
      break;
    }
    case 'line': {
      const { at, link, text } = input;
      takeDesk(pipeline, link, deskStep(deskOf(pipeline, link), { kind: 'line', at, text }), emit);
      break;
    }
    case 'log': {
      const at = placeOf(pipeline, Math.ceil(input.at), 'log');
      feed(pipeline, { kind: 'log', at, log: input.log }, emit);
      emit({ kind: 'took-log', at, log: input.log });
      pipeline.loggedSince = true;
      if (input.log.known && input.log.entry.log === 'plan') tellPlain(pipeline, input.at, emit);
      break;
    }
    case 'trouble': {
      const at = placeOf(pipeline, Math.ceil(input.at), 'log');
      feed(pipeline, { kind: 'trouble', at, what: input.what, text: input.text }, emit);
      break;
    }
    case 'tick':
      break;
  }
}

/** After a long jump of the time only its last part is ticked. */
function tickTo(pipeline: Pipeline, at: number, heardTo: number, emit: Emit): void {
  const toS = Math.floor(at / 1000);
  const heardToS = Math.floor(Math.min(at, heardTo) / 1000);
  if (pipeline.tickedS === null) pipeline.desksTickedS = heardToS;
  pipeline.tickedS = Math.max(pipeline.tickedS ?? toS, toS - LONGEST_TICKED_S);
  pipeline.desksTickedS = Math.max(pipeline.desksTickedS, heardToS - LONGEST_TICKED_S);
  tickDesks(pipeline, Math.min(heardToS, pipeline.tickedS), emit);
  while (pipeline.tickedS < toS) {
    pipeline.tickedS += 1;
    tickDesks(pipeline, Math.min(heardToS, pipeline.tickedS), emit);
    const coreAt = Math.floor((pipeline.tickedS * 1000 - pipeline.slackMs) / 1000) * 1000;
    if (pipeline.core.now !== null && coreAt > pipeline.core.now)
      feed(pipeline, { kind: 'tick', at: coreAt }, emit);
  }
}

function tickDesks(pipeline: Pipeline, throughS: number, emit: Emit): void {
  while (pipeline.desksTickedS < throughS) {
    pipeline.desksTickedS += 1;
    const at = pipeline.desksTickedS * 1000;
    for (const [link, desk] of pipeline.desks)
      takeDesk(pipeline, link, deskStep(desk, { kind: 'tick', at }), emit);
  }
}

/** A changed plan may say otherwise about a board that only prints numbers. */
function tellPlain(pipeline: Pipeline, at: number, emit: Emit): void {
  const plain = pipeline.core.plan.plainBoard;
  for (const [link, desk] of pipeline.desks)
    takeDesk(pipeline, link, deskStep(desk, { kind: 'plain', at, plain }), emit);
}

function takeDesk(pipeline: Pipeline, link: string, made: readonly DeskOutput[], emit: Emit): void {
  for (const output of made) {
    if (output.kind === 'hello') {
      const at = placeOf(pipeline, output.at, 'log');
      feed(pipeline, { kind: 'hello', at, hello: output.hello }, emit);
      emit({ kind: 'took-hello', at, hello: output.hello });
    } else if (output.kind === 'reading') {
      takeReading(pipeline, placed(pipeline, output.reading), emit);
    } else {
      emit({ kind: 'desk', link, output });
    }
  }
}

function takeReading(pipeline: Pipeline, reading: ReadingInput, emit: Emit): void {
  if (reading.late && pipeline.loggedSince) {
    pipeline.held.push(reading);
    return;
  }
  feed(pipeline, reading, emit);
  if (reading.late) return;
  pipeline.loggedSince = false;
  releaseHeld(pipeline, emit);
}

/** Late readings that wait go in now: the firing is closed, and no reading on time may come any more. */
export function releaseHeld(pipeline: Pipeline, emit: Emit): void {
  const { held } = pipeline;
  pipeline.held = [];
  for (const reading of held) feed(pipeline, reading, emit);
}

/**
 * The core's time never goes back, and the order in which it took its inputs can be read from their times alone: an
 * entry of the log never shares its millisecond with a reading before it.
 */
function placeOf(pipeline: Pipeline, at: number, kind: 'log' | 'reading'): number {
  const now = pipeline.core.now ?? Number.NEGATIVE_INFINITY;
  if (at > now) return at;
  return kind === 'log' && pipeline.lastWasReading ? now + 1 : now;
}

/**
 * A reading that was long on its way, or waited for a hello, keeps its own time and is late; one that was overtaken by a
 * moment is put at the present.
 */
function placed(pipeline: Pipeline, reading: ReadingInput): ReadingInput {
  if (reading.late) return reading;
  const at = placeOf(pipeline, reading.at, 'reading');
  if (at === reading.at) return reading;
  return at - reading.at > OVERTAKEN_MS ? { ...reading, late: true } : { ...reading, at };
}

function feed(pipeline: Pipeline, input: CoreInput, emit: Emit): void {
  const stepped = step(pipeline.core, input);
  pipeline.core = stepped.state;
  if (input.kind !== 'tick' && !(input.kind === 'reading' && input.late))
    pipeline.lastWasReading = input.kind === 'reading';
  for (const output of stepped.outputs) emit(output);
}
