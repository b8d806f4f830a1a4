/**
 * One firing from cold to some hours after clam-up: the invented kiln, the board's lines over its cable, and the
 * pipeline that serves a live kiln, as `rerun` feeds it. What was true and what was said, minute by minute.
 */

import { stateOf } from '../../alerts/standing.ts';
import type { AlertOutput, Forecast, ReadingOutput, StandingOutput } from '../../collector/core/inputs.ts';
import { ZONES, type Zone } from '../../collector/demo-kiln/chamber.ts';
import { type DemoBoard, openDemoBoard } from '../../collector/demo-kiln/demo-board.ts';
import { openWire, runWire, type Wire, writeEntry } from '../../collector/demo-kiln/wire.ts';
import {
  newPipeline,
  type Pipeline,
  type PipelineOutput,
  pipelineStep,
} from '../../collector/firing/pipeline.ts';
import type { CaptureLine } from '../../protocol/capture.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { planSchema } from '../../protocol/plan.ts';
import type { Stage } from '../../protocol/stages.ts';
import { type ClosedKiln, watchClosed } from './closed-kiln.ts';
import { FIRING_CONE, type Recipe } from './recipe.ts';
import { newStokeRun, noteSaid, noteStokes, type StokeRun } from './stokes.ts';

const HOUR_S = 3600;
/** How long the closed kiln is still watched. */
const COOLING_S = 3 * HOUR_S;
/** A firing that has not been closed by then is not going to be. */
const LONGEST_S = 44 * HOUR_S;

/** One minute as it was: noise-free means of the places, the stage at its end. */
interface TrueMinute {
  placeC: Record<Zone, number>;
  stage: Stage;
}

/** One minute as it was told: the last live reading in it. */
export interface ToldMinute {
  stage: Stage;
  climbCPerH: number | null;
  climbSdCPerH: number | null;
  /** Mean over the minute's live readings of all numbers that the couples gave, unscreened. */
  rawC: number | null;
}

export interface Run {
  recipe: Recipe;
  trueMinutes: TrueMinute[];
  /** Null where no reading came in time. */
  told: (ToldMinute | null)[];
  alerts: AlertOutput[];
  /** Alerts that had eased and call again, still up. */
  calledAgain: StandingOutput[];
  forecasts: Forecast[];
  startMs: number;
  /** Seconds since the start: light-up, clam-up (null: never), and when each mishap of a probe began (null: never). */
  litS: number | null;
  closedS: number | null;
  /** What came of it in the days after, for the seeds that are watched so long. */
  closed: ClosedKiln | null;
  mishapsS: (number | null)[];
  stoking: StokeRun;
}

/** `write` gets every line of the capture that the firing is. */
export function runFiring(recipe: Recipe, write: (line: CaptureLine) => void = () => undefined): Run {
  const board = openDemoBoard(recipe.board);
  const { kiln } = board;
  const wire = openWire(board, recipe.wire);
  if (recipe.plan) writeEntry(wire, kiln.startMs, { log: 'plan', ...recipe.plan });
  const run: Run = {
    recipe,
    trueMinutes: [],
    told: [],
    alerts: [],
    calledAgain: [],
    forecasts: [],
    startMs: kiln.startMs,
    litS: null,
    closedS: null,
    closed: null,
    mishapsS: [],
    stoking: newStokeRun(),
  };
  const pipeline = newPipeline(planSchema.parse({ firingCone: FIRING_CONE }));
  const sums = new Map<number, { sumC: number; count: number }>();
  const minute = { placeC: zeroPlaces(), seconds: 0 };
  while (!isOver(board)) {
    runWire(wire, kiln.startMs + (kiln.nowS + 1) * 1000);
    for (const line of drain(wire)) {
      write(line);
      for (const output of feed(pipeline, line)) note(run, sums, output);
    }
    noteStokes(run.stoking, board, pipeline.core);
    for (const zone of ZONES) minute.placeC[zone] += kiln.placeC[zone] / 60;
    minute.seconds += 1;
    if (minute.seconds === 60) {
      run.trueMinutes.push({ placeC: minute.placeC, stage: kiln.potter.stage });
      minute.placeC = zeroPlaces();
      minute.seconds = 0;
    }
  }
  run.litS = kiln.litS;
  run.closedS = kiln.potter.stage === 'cooling' ? kiln.potter.sinceS : null;
  run.mishapsS = board.mishaps.map(({ sinceS }) => sinceS);
  for (let i = 0; i < run.trueMinutes.length; i += 1) run.told[i] ??= null;
  if (run.closedS !== null && recipe.watchedToOpening) run.closed = watchClosed(board, pipeline.core);
  return run;
}

const zeroPlaces = (): Record<Zone, number> => ({
  'front-low': 0,
  'front-high': 0,
  'back-low': 0,
  'back-high': 0,
});

function isOver({ kiln }: DemoBoard): boolean {
  const { stage, sinceS } = kiln.potter;
  return kiln.nowS >= (stage === 'cooling' ? sinceS + COOLING_S : LONGEST_S);
}

function drain(wire: Wire): CaptureLine[] {
  return wire.lines.splice(0);
}

function feed(pipeline: Pipeline, { at, direction, text }: CaptureLine): PipelineOutput[] {
  const link = '';
  if (direction === '<') {
    const opened = pipeline.desks.has(link) ? [] : pipelineStep(pipeline, { kind: 'opened', at, link });
    return [...opened, ...pipelineStep(pipeline, { kind: 'line', at, link, text })];
  }
  const log = direction === '@' ? parseLogEntry(JSON.parse(text)) : null;
  return log ? pipelineStep(pipeline, { kind: 'log', at, log }) : [];
}

function note(run: Run, sums: Map<number, { sumC: number; count: number }>, output: PipelineOutput): void {
  if (output.kind === 'alert') run.alerts.push(output);
  else if (output.kind === 'standing' && callsAgain(output)) run.calledAgain.push(output);
  else if (output.kind === 'forecast') run.forecasts.push(output.forecast);
  else if (output.kind === 'stoking') noteSaid(run.stoking, run.startMs, output.stoking);
  else if (output.kind === 'reading' && !output.input.late) noteReading(run, sums, output);
}

function callsAgain({ change, standing }: StandingOutput): boolean {
  return change === 'eased' && stateOf(standing) === 'unacknowledged';
}

function noteReading(
  run: Run,
  sums: Map<number, { sumC: number; count: number }>,
  { input, stage, rows, kiln }: ReadingOutput,
): void {
  run.stoking.readingsS.push((input.at - run.startMs) / 1000);
  const minute = Math.floor((input.at - run.startMs) / 60_000);
  const sum = sums.get(minute) ?? { sumC: 0, count: 0 };
  sums.set(minute, sum);
  for (const { tempC } of rows) {
    if (tempC === null) continue;
    sum.sumC += tempC;
    sum.count += 1;
  }
  const { climbCPerH, climbSdCPerH } = kiln;
  const rawC = sum.count > 0 ? sum.sumC / sum.count : null;
  run.told[minute] = { stage, climbCPerH, climbSdCPerH, rawC };
}
