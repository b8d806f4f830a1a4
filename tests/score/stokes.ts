/**
 * How well the stokes and the peaks of the heat between them are told. The true peak is the greatest noise-free mean of the
 * gas at the probes' places from a stoke's dip to the next stoke; it counts as one where the gas has gone down from it by a
 * tenth of its rise, and for a minute, before the next stoke.
 */

import type { StokingFigures } from '../../collector/core/inputs.ts';
import type { FiringState } from '../../collector/core/state.ts';
import type { DemoBoard } from '../../collector/demo-kiln/demo-board.ts';
import type { Stage } from '../../protocol/stages.ts';

/** Seconds since the start throughout. */
export interface StokeRun {
  gasC: number[];
  stokes: { atS: number; stage: Stage }[];
  /** When the heat was told to have peaked, when a stoke was seen to have gone in, and when that was noticed. */
  peaksS: number[];
  seen: { atS: number; noticedS: number }[];
  /** What was said of the next stoke: when, and when it was to be due. */
  said: { atS: number; dueS: number }[];
  readingsS: number[];
  peaked: boolean;
  seenCount: number;
}

export function newStokeRun(): StokeRun {
  return { gasC: [], stokes: [], peaksS: [], seen: [], said: [], readingsS: [], peaked: false, seenCount: 0 };
}

/** After each second of the kiln. */
export function noteStokes(run: StokeRun, board: DemoBoard, core: FiringState): void {
  const { kiln } = board;
  const zones = board.probes.map(({ zone }) => zone);
  const sumC = zones.reduce((sum, zone) => sum + kiln.chamber.zones[zone].gasC, 0);
  run.gasC.push(sumC / zones.length);
  const { potter, nowS } = kiln;
  if (potter.lastStokeS === nowS) run.stokes.push({ atS: nowS, stage: potter.stage });
  const { seenCount, seen } = core.stoking;
  if (seenCount !== run.seenCount) {
    run.seenCount = seenCount;
    run.seen.push({ atS: ((seen.at(-1) ?? 0) - kiln.startMs) / 1000, noticedS: nowS });
  }
}

export function noteSaid(run: StokeRun, startMs: number, { at, next }: StokingFigures): void {
  const atS = (at - startMs) / 1000;
  const peaked = next?.peaked ?? false;
  if (peaked && !run.peaked) run.peaksS.push(atS);
  run.peaked = peaked;
  if (next && !peaked) run.said.push({ atS, dueS: atS + next.dueInMs.mid / 1000 });
}

export interface StokeMarks {
  periodS: number;
  /** Delays of the peaks that were found, s; peaks there were, peaks told, and how many of these were false. */
  delaysS: number[];
  peaks: number;
  told: number;
  falsely: number;
  /** Stokes there were and stokes seen among them, by how much in time, s; and lows that were seen in all. */
  stokes: number;
  seenOffS: number[];
  lows: number;
  /** What was said two minutes after a stoke less the true peak, s. */
  nextOffS: number[];
}

/** A cycle in which the readings were away for so long is left out, and one that is hardly begun. */
const LONGEST_GAP_S = 120;
const SHORTEST_CYCLE_S = 90;
/** A peak is a tenth of the rise high, and two degrees; told before it by less than that is no false one. */
const PEAK_PART = 0.1;
const LEAST_PEAK_C = 2;
const PEAK_BEFORE_NEXT_S = 60;
/** Two holes, one after the other, are one stoke. */
const ONE_STOKE_S = 60;
/** A stoke is seen if it is put within so long of its time. */
const SEEN_WITHIN_S = 120;
const ASKED_AFTER_S = 120;

const COUNTED: readonly Stage[] = ['climbing', 'hold'];

/** Of the stokes while climbing or holding, until the kiln was closed. */
export function stokeMarks(run: StokeRun, periodMs: number, closedS: number | null): StokeMarks {
  const marks: StokeMarks = {
    periodS: periodMs / 1000,
    delaysS: [],
    peaks: 0,
    told: 0,
    falsely: 0,
    stokes: 0,
    seenOffS: [],
    lows: 0,
    nextOffS: [],
  };
  const begun = run.stokes.filter(
    ({ atS }, i) => i === 0 || atS - (run.stokes[i - 1]?.atS ?? 0) > ONE_STOKE_S,
  );
  begun.forEach(({ atS: fromS, stage }, i) => {
    // In the first second of the next stoke its open hole already draws hot gas along.
    const toS = (begun[i + 1]?.atS ?? closedS ?? run.gasC.length) - 2;
    if (!COUNTED.includes(stage) || toS - fromS < SHORTEST_CYCLE_S || hasGap(run.readingsS, fromS, toS))
      return;
    markCycle(run, marks, fromS, toS);
  });
  return marks;
}

function hasGap(timesS: readonly number[], fromS: number, toS: number): boolean {
  let last = fromS;
  for (const atS of timesS) {
    if (atS <= fromS) continue;
    if (Math.min(atS, toS) - last > LONGEST_GAP_S) return true;
    if (atS >= toS) return false;
    last = atS;
  }
  return true;
}

function markCycle(run: StokeRun, marks: StokeMarks, fromS: number, toS: number): void {
  const gas = (atS: number) => run.gasC[Math.floor(atS)] ?? Number.NEGATIVE_INFINITY;
  const seconds = (from: number, to: number) =>
    Array.from({ length: Math.max(0, to - from) }, (_, i) => from + i);
  const lowS = seconds(fromS, Math.min(toS, fromS + 150)).reduce(
    (low, s) => (gas(s) < gas(low) ? s : low),
    fromS,
  );
  const peakS = seconds(lowS, toS).reduce((peak, s) => (gas(s) > gas(peak) ? s : peak), lowS);
  const least = Math.max(LEAST_PEAK_C, PEAK_PART * (gas(peakS) - gas(lowS)));
  const isTrue = (toldS: number) => toldS >= peakS || gas(toldS) >= gas(peakS) - least;
  const told = run.peaksS.filter((s) => s >= fromS && s < toS);
  marks.told += told.length;
  marks.falsely += told.filter((s, i) => i > 0 || !isTrue(s)).length;
  const first = told[0];
  const found = first !== undefined && isTrue(first);
  if (toS - peakS >= PEAK_BEFORE_NEXT_S && gas(peakS) - gas(toS - 1) >= least) {
    marks.peaks += 1;
    if (found) marks.delaysS.push(first - peakS);
    const said = run.said.find(({ atS }) => atS >= fromS + ASKED_AFTER_S && atS < toS);
    if (said && said.atS < peakS) marks.nextOffS.push(said.dueS - peakS);
  }
  marks.stokes += 1;
  const seen = run.seen.filter(({ atS }) => Math.abs(atS - fromS) <= SEEN_WITHIN_S);
  if (seen[0]) marks.seenOffS.push(seen[0].atS - fromS);
  marks.lows += run.seen.filter(
    ({ atS }) => atS >= fromS - SEEN_WITHIN_S && atS < toS - SEEN_WITHIN_S,
  ).length;
}
