/**
 * From the links' lines to the core's outputs: the one way that live watching, a played capture and `rerun` all go.
 * Pure: time comes in with each input; what is to be done (send a line, open a port again) goes out as outputs.
 */
import type { Hello } from '../../protocol/board-lines.ts';
import type { LogEntry } from '../../protocol/log-entries.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { CoreInput, CoreOutput } from '../core/inputs.ts';
import { type FiringState, newFiring } from '../core/state.ts';
import { step } from '../core/step.ts';
import { type Desk, type DeskOutput, deskStep, openDesk } from '../lines/desk.ts';

export type PipelineInput =
  | { kind: 'opened' | 'closed'; at: number; link: string }
  | { kind: 'line'; at: number; link: string; text: string }
  | { kind: 'log'; at: number; log: LogEntry }
  | { kind: 'trouble'; at: number; text: string | null }
  /** `at` is host time; the core's time follows `slackMs` behind it, so that a reading that was a moment on its way is not overtaken. */
  | { kind: 'tick'; at: number; slackMs: number };

export type PipelineOutput =
  | CoreOutput
  /** These went into the core with this time: the archive keeps them, for they make the firing what it is. */
  | { kind: 'took-hello'; at: number; hello: Hello }
  | { kind: 'took-log'; at: number; log: LogEntry }
  /** What a link's desk wants or has to say. */
  | { kind: 'desk'; link: string; output: Exclude<DeskOutput, { kind: 'reading' | 'hello' }> };

/** How long after a reading's own time the rest of the collector waits before it ticks past it. */
export const TICK_SLACK_MS = 2000;

export interface Pipeline {
  core: FiringState;
  desks: Map<string, Desk>;
  /** The core's last input was a reading: a log entry of the very same millisecond is put one later. */
  lastWasReading: boolean;
}

export function newPipeline(plan: Plan): Pipeline {
  return { core: newFiring(plan), desks: new Map(), lastWasReading: false };
}

/** The desk of a link, opened at its first mention. */
export function deskOf(pipeline: Pipeline, link: string): Desk {
  let desk = pipeline.desks.get(link);
  if (!desk) {
    desk = openDesk({ link, plain: pipeline.core.plan.plainBoard });
    pipeline.desks.set(link, desk);
  }
  return desk;
}

/** One input; the pipeline is advanced in place. */
export function pipelineStep(pipeline: Pipeline, input: PipelineInput): PipelineOutput[] {
  const outputs: PipelineOutput[] = [];
  switch (input.kind) {
    case 'opened':
    case 'closed':
      takeDesk(pipeline, input.link, deskStep(deskOf(pipeline, input.link), { kind: input.kind, at: input.at }), outputs);
      break;
    case 'line': {
      const { at, text } = input;
      takeDesk(pipeline, input.link, deskStep(deskOf(pipeline, input.link), { kind: 'line', at, text }), outputs);
      break;
    }
    case 'log': {
      const at = placeOf(pipeline, Math.ceil(input.at), 'log');
      feed(pipeline, { kind: 'log', at, log: input.log }, outputs);
      outputs.push({ kind: 'took-log', at, log: input.log });
      if (input.log.known && input.log.entry.log === 'plan') tellPlain(pipeline, input.at, outputs);
      break;
    }
    case 'trouble':
      feed(pipeline, { kind: 'trouble', at: placeOf(pipeline, Math.ceil(input.at), 'log'), what: 'archive', text: input.text }, outputs);
      break;
    case 'tick': {
      for (const [link, desk] of pipeline.desks) {
        takeDesk(pipeline, link, deskStep(desk, { kind: 'tick', at: input.at }), outputs);
      }
      const at = Math.floor((input.at - input.slackMs) / 1000) * 1000;
      if (pipeline.core.now !== null && at > pipeline.core.now) feed(pipeline, { kind: 'tick', at }, outputs);
      break;
    }
  }
  return outputs;
}

/** A changed plan may say otherwise about a board that only prints numbers. */
function tellPlain(pipeline: Pipeline, at: number, outputs: PipelineOutput[]): void {
  const plain = pipeline.core.plan.plainBoard;
  for (const [link, desk] of pipeline.desks) takeDesk(pipeline, link, deskStep(desk, { kind: 'plain', at, plain }), outputs);
}

function takeDesk(pipeline: Pipeline, link: string, made: readonly DeskOutput[], outputs: PipelineOutput[]): void {
  for (const output of made) {
    if (output.kind === 'hello') {
      const at = placeOf(pipeline, output.at, 'log');
      feed(pipeline, { kind: 'hello', at, hello: output.hello }, outputs);
      outputs.push({ kind: 'took-hello', at, hello: output.hello });
    } else if (output.kind === 'reading') {
      const { reading } = output;
      const at = reading.late ? reading.at : placeOf(pipeline, reading.at, 'reading');
      feed(pipeline, at === reading.at ? reading : { ...reading, at }, outputs);
    } else {
      outputs.push({ kind: 'desk', link, output });
    }
  }
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

function feed(pipeline: Pipeline, input: CoreInput, outputs: PipelineOutput[]): void {
  const stepped = step(pipeline.core, input);
  pipeline.core = stepped.state;
  if (input.kind !== 'tick' && !(input.kind === 'reading' && input.late)) pipeline.lastWasReading = input.kind === 'reading';
  outputs.push(...stepped.outputs);
}
