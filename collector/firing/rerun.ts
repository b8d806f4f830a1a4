/** A capture put through the very pipeline that serves a live kiln, and the lines that `rerun` prints. Pure but for the lines handed in. */
import type { CaptureLine } from '../../protocol/capture.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import type { Plan } from '../../protocol/plan.ts';
import { formatTime } from '../../protocol/times.ts';
import { kilnFigures, probeFigures } from '../core/figures.ts';
import type { AlertOutput, ReadingOutput } from '../core/inputs.ts';
import type { FiringState } from '../core/state.ts';
import {
  newPipeline,
  type Pipeline,
  type PipelineInput,
  type PipelineOutput,
  pipelineEach,
} from './pipeline.ts';

export interface Rerun {
  pipeline: Pipeline;
  everyMs: number;
  print: (line: string) => void;
  /** Start of the printing grid, and the next step of it that is due. */
  firstAt: number | null;
  nextAt: number;
  /** Logged lines that were no JSON object. */
  badLogs: number;
}

/** `print` gets a JSON text a line, in time order. */
export function newRerun(plan: Plan, everyMs: number, print: (line: string) => void): Rerun {
  return { pipeline: newPipeline(plan), everyMs, print, firstAt: null, nextAt: 0, badLogs: 0 };
}

/** Takes the next line of the capture. */
export function rerunItem(rerun: Rerun, item: CaptureLine): void {
  const { at, link, text } = item;
  if (item.direction === '<') {
    if (!rerun.pipeline.desks.has(link)) run(rerun, { kind: 'opened', at, link });
    run(rerun, { kind: 'line', at, link, text });
  } else if (item.direction === '@') {
    const log = parseLogEntry(objectOf(text));
    if (log) run(rerun, { kind: 'log', at, log });
    else rerun.badLogs += 1;
  }
}

function objectOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function run(rerun: Rerun, input: PipelineInput): void {
  pipelineEach(rerun.pipeline, input, (output) => printOutput(rerun, output));
}

function printOutput(rerun: Rerun, output: PipelineOutput): void {
  if (output.kind === 'alert') rerun.print(alertLine(output));
  else if (output.kind === 'reading' && !output.input.late) printReading(rerun, output);
}

function printReading(rerun: Rerun, { input, stage }: ReadingOutput): void {
  if (rerun.firstAt === null) {
    rerun.firstAt = input.at;
    rerun.nextAt = input.at;
  }
  if (input.at < rerun.nextAt) return;
  const stepsGone = Math.floor((input.at - rerun.firstAt) / rerun.everyMs) + 1;
  rerun.nextAt = rerun.firstAt + stepsGone * rerun.everyMs;
  rerun.print(readingLine(rerun.pipeline.core, input.at, stage));
}

/** Figures are printed to four decimals: far below what any couple can tell. */
function rounded(value: number | null): number | null {
  return value === null ? null : Math.round(value * 10_000) / 10_000;
}

function readingLine(core: FiringState, at: number, stage: string): string {
  const probes: Record<string, unknown> = {};
  for (const probe of core.probes) {
    const { tempC, smoothC, climbCPerH, climbSdCPerH, cone, fault } = probeFigures(core, probe, at);
    probes[probe.label] = {
      temp_c: rounded(tempC),
      smooth_c: rounded(smoothC),
      climb_c_per_h: rounded(climbCPerH),
      climb_sd_c_per_h: rounded(climbSdCPerH),
      cone,
      fault,
    };
  }
  const { smoothC, climbCPerH, climbSdCPerH } = kilnFigures(core, at);
  const kiln = {
    smooth_c: rounded(smoothC),
    climb_c_per_h: rounded(climbCPerH),
    climb_sd_c_per_h: rounded(climbSdCPerH),
  };
  return JSON.stringify({ kind: 'reading', at: formatTime(at), stage, probes, kiln });
}

function alertLine({ at, name, state, probe, text }: AlertOutput): string {
  return JSON.stringify({ kind: 'alert', at: formatTime(at), name, state, probe, text });
}
