/** All that the core knows of a firing. `step` owns it: a state that was handed to `step` is used up. */
import type { AlertLives } from '../../alerts/life.ts';
import { newStandings, type Standings } from '../../alerts/standing.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import { defaultPlan, type Plan } from '../../protocol/plan.ts';
import type { ProbeSpec } from '../../protocol/probes.ts';
import { type ColdJunction, newColdJunction } from './cold-junction.ts';
import type { Conversion } from './couple/convert.ts';
import { type DriftWatch, newDriftWatch } from './drift.ts';
import { type ForecastState, newForecastState } from './forecast/forecast-state.ts';
import type { Sighting } from './heat-work/sightings.ts';
import { factsOf, isPulled, type LogBook, type LoggedFacts, newLogBook } from './log-book.ts';
import { type Measured, newMeasured } from './measured.ts';
import { newProbeTrack, type ProbeTrack } from './probe.ts';
import { newSalting, type Salting } from './salting-told.ts';
import { newStage, type StageState } from './stage.ts';
import { newStillness, type Stillness } from './stillness.ts';
import { newStoking, type Stoking } from './stoking.ts';
import { newTurns, type Turns } from './turns.ts';

/** A jump of one probe that the screen believed in the end. */
export interface Jump {
  at: number;
  /** Where it stood before, and the mean of the other probes' levels then, °C; null where none worked. */
  fromC: number;
  othersC: number | null;
  /** By how much it stepped, once it is known that it stays; °C. */
  byC: number | null;
}

export interface ProbeState {
  /** The name on the page: the probe's own, with the board's before it where two boards use the same one. */
  label: string;
  name: string;
  board: string;
  track: ProbeTrack;
  pulled: boolean;
  /** The last conversion, and when it and the last number and the last good number came; epoch ms. */
  last: Conversion | null;
  lastAt: number;
  numberAt: number;
  goodAt: number;
  /** Without the user's own correction, so that a new one makes no turn of the heat. */
  goodC: number;
  stuck: boolean;
  /** The last jump, for as long as it is followed. */
  jump: Jump | null;
  drift: DriftWatch;
  /** Highest cone value reached: heat work never goes down. */
  cone: number | null;
  /** Cones that were seen at its place, and what they add to the ln of its heat work, for each kelvin of Q/R. */
  sightings: Sighting[];
  shiftPerK: number;
}

export interface BoardState {
  board: string;
  periodMs: number;
  lastReadingAt: number;
  coldJunctionC: number | null;
  cold: ColdJunction;
}

export interface FiringState {
  /** Latest firing time seen, epoch ms; null before the first input. */
  now: number | null;
  /** The last whole second that was ticked, in seconds. */
  tickedS: number;
  plan: Plan;
  /** The plan that holds while none is logged. */
  firstPlan: Plan;
  probes: ProbeState[];
  boards: BoardState[];
  book: LogBook;
  logged: LoggedFacts;
  stage: StageState;
  /** The minute, since the epoch, in which the probes were last looked at beside each other; null before the first. */
  watchedMinute: number | null;
  turns: Turns;
  stoking: Stoking;
  salting: Salting;
  measured: Measured;
  stillness: Stillness;
  lives: AlertLives;
  /** The alerts that are up, and the last of each that came back to normal. */
  standings: Standings;
  archiveTrouble: string | null;
  phoneTrouble: string | null;
  forecastAt: number;
  /** How long the kiln has been at salting heat in the stage `climbing`, ms, and until when that was counted. */
  hot: { forMs: number; at: number };
  forecasts: ForecastState;
}

export function newFiring(plan: Plan = defaultPlan()): FiringState {
  const book = newLogBook();
  return {
    now: null,
    tickedS: 0,
    plan,
    firstPlan: plan,
    probes: [],
    boards: [],
    book,
    logged: factsOf(book, plan.chargeG),
    stage: newStage(),
    watchedMinute: null,
    turns: newTurns(),
    stoking: newStoking(),
    salting: newSalting(),
    measured: newMeasured(),
    stillness: newStillness(),
    lives: new Map(),
    standings: newStandings(),
    archiveTrouble: null,
    phoneTrouble: null,
    forecastAt: 0,
    hot: { forMs: 0, at: 0 },
    forecasts: newForecastState(),
  };
}

/** Takes a hello: new probes join in order; one whose couple or form changed begins anew. */
export function takeHello(state: FiringState, at: number, hello: Hello): void {
  const known = state.boards.find((board) => board.board === hello.board);
  if (known) {
    known.periodMs = hello.periodMs;
  } else {
    state.boards.push({
      board: hello.board,
      periodMs: hello.periodMs,
      lastReadingAt: at,
      coldJunctionC: null,
      cold: newColdJunction(),
    });
  }
  for (const spec of hello.probes) takeProbe(state, at, hello.board, spec);
}

function takeProbe(state: FiringState, at: number, board: string, spec: ProbeSpec): void {
  const known = state.probes.find((probe) => probe.board === board && probe.name === spec.name);
  if (known) {
    if (sameSpec(known.track.spec, spec)) return;
    known.track = newProbeTrack(spec, at);
    known.jump = null;
    known.drift = newDriftWatch();
    known.sightings = [];
    known.shiftPerK = 0;
    return;
  }
  const taken = state.probes.some((probe) => probe.label === spec.name);
  const label = taken ? `${board} ${spec.name}` : spec.name;
  state.probes.push({
    label,
    name: spec.name,
    board,
    track: newProbeTrack(spec, Number.NEGATIVE_INFINITY),
    pulled: isPulled(state.book, label),
    last: null,
    lastAt: Number.NEGATIVE_INFINITY,
    numberAt: at,
    goodAt: Number.NEGATIVE_INFINITY,
    goodC: 0,
    stuck: false,
    jump: null,
    drift: newDriftWatch(),
    cone: null,
    sightings: [],
    shiftPerK: 0,
  });
}

function sameSpec(a: ProbeSpec, b: ProbeSpec): boolean {
  const uvPerC = (spec: ProbeSpec) => (spec.form.kind === 'lin' ? spec.form.uvPerC : 0);
  return a.couple === b.couple && a.form.kind === b.form.kind && uvPerC(a) === uvPerC(b);
}

/** A probe without news for so many of its board's periods says nothing about now. */
export const STALE_PERIODS = 5;

export function periodOf(state: FiringState, board: string): number {
  return state.boards.find((each) => each.board === board)?.periodMs ?? 1000;
}

/** Stands in the kiln and has a good number that is not stale. */
export function isWorking(state: FiringState, probe: ProbeState, at: number): boolean {
  return !probe.pulled && !probe.stuck && at - probe.goodAt <= STALE_PERIODS * periodOf(state, probe.board);
}
