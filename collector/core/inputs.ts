/**
 * What goes into the measuring core and what comes out of it. All times are whole epoch milliseconds of firing time,
 * handed in with each input; the core reads no clock.
 */
import type { AlertChange } from '../../alerts/life.ts';
import type { Standing, StandingChange } from '../../alerts/standing.ts';
import type { READING_FLAGS } from '../../protocol/archive-columns.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import type { LogEntry } from '../../protocol/log-entries.ts';
import type { RawValue } from '../../protocol/probes.ts';
import type { Stage } from '../../protocol/stages.ts';
import type { LotHeat, SaltCount, SaltSay } from './salting-facts.ts';
import type { Hole } from './stoking.ts';

/** A reading with its steadied time. `values` in the order of the hello's probes of that board and boot. */
export interface ReadingInput {
  kind: 'reading';
  at: number;
  board: string;
  boot: string;
  seq: number;
  uptimeMs: number;
  coldJunctionC: number | null;
  values: { probe: string; raw: RawValue }[];
  /** Arrived after later readings (asked for again, or delayed): worked in, but raises nothing about the past. */
  late: boolean;
}

/** Troubles that the collector itself has: it is told of them, and they are no part of the archive. */
export type TroubleWith = 'archive' | 'phones';

/** `at` of a hello and of a log entry is when the collector took it in. */
export type CoreInput =
  | ReadingInput
  | { kind: 'hello'; at: number; hello: Hello }
  | { kind: 'log'; at: number; log: LogEntry }
  | { kind: 'trouble'; at: number; what: TroubleWith; text: string | null }
  | { kind: 'tick'; at: number };

/** A word of the archive's `flags` column. */
export type ReadingFlag = (typeof READING_FLAGS)[number];

/** One probe's figures as known on arrival. */
export interface ProbeFigures {
  probe: string;
  raw: RawValue;
  /** Converted and compensated, before screening and smoothing; null only where the couple gave no number. */
  tempC: number | null;
  smoothC: number | null;
  climbCPerH: number | null;
  climbSdCPerH: number | null;
  /** Cone equivalent by heat work, as printed (`8.4`, `05.7`); null below 022. */
  cone: string | null;
  /** How many cones more than computed that is, by the cones seen at its place; null where none was. */
  coneShift: number | null;
  /** The fault in words, or null. */
  fault: string | null;
  /** What is to be known of it that is no fault, or null. */
  note: string | null;
  flags: ReadingFlag[];
}

export interface KilnFigures {
  smoothC: number | null;
  climbCPerH: number | null;
  climbSdCPerH: number | null;
}

/** A span of time ahead, in ms, with its 80 % interval; `high` is null where its end cannot be said. */
export interface Span {
  low: number;
  mid: number;
  high: number | null;
}

/** The usual low, middle and high of something, ms. */
export interface Spread {
  low: number;
  mid: number;
  high: number;
}

/** The next stoke: in how long it is due, whether the heat has peaked, and which hole is next where they go by turns. */
export interface NextStoke {
  dueInMs: Spread;
  peaked: boolean;
  hole: Hole | null;
}

/** Each is null where it cannot be said. */
export interface Forecasts {
  /** To the plan's firing cone, by heat work. */
  cone: Span | null;
  nextStage: (Span & { stage: Stage }) | null;
  /** In cooling: until the hottest probe is below 400 °F, and below the plan's unbricking temperature. */
  below400F: Span | null;
  unbrick: Span | null;
}

/** The kiln's curve ahead with its 80 % interval, as columns of equal length: ms after `at`, and °C. */
export interface Fan {
  at: number;
  aheadMs: number[];
  lowC: number[];
  midC: number[];
  highC: number[];
}

/** What the last stokes brought, °C of the kiln's level each; through one hole null where it is not known. */
export interface StokeGain {
  perStokeC: number;
  leftC: number | null;
  rightC: number | null;
  trend: 'less' | 'more' | 'same';
  /** More wood brings less: a sign of choking. */
  moreBringsLess: boolean;
}

/** The wood; null where a figure is not known. */
export interface FuelFigures {
  stokes: number;
  /** Nobody logs: the stokes are those that the signal showed. */
  seenOnly: boolean;
  /** Nothing was weighed: the stack is spread over the stokes so far and to come. */
  spread: boolean;
  inKg: number | null;
  kgPerFaceCord: number;
  /** Less what its water takes to boil off. */
  heatMJ: number | null;
  leftKg: number | null;
  /** Of the last hours: wood, and what a face cord brought of heat and of heat work. */
  kgPerH: number | null;
  climbCPerFaceCord: number | null;
  conesPerFaceCord: number | null;
  /** How long the stack lasts at that pace, and how long the firing still takes. */
  lastsMs: number | null;
  toEndMs: number | null;
}

/** The stoking and the wood as they stand at `at`. */
export interface StokingFigures {
  at: number;
  next: NextStoke | null;
  gain: StokeGain | null;
  fuel: FuelFigures | null;
}

/** The salt as it stands at `at`; `heat` is null before the first charge and where no level is known. */
export interface SaltingFigures {
  at: number;
  count: SaltCount;
  heat: LotHeat | null;
  /** The lots before the newest, each as it stood when the next one went in. */
  earlier: LotHeat[];
  say: SaltSay;
}

/** From `at` on; null where it cannot be said. */
export interface Forecast {
  at: number;
  toSaltingMs: Span | null;
  forecasts: Forecasts;
  fan: Fan | null;
}

export interface ReadingOutput {
  kind: 'reading';
  input: ReadingInput;
  stage: Stage;
  /** The probes of this reading, in its order: one archive row each. */
  rows: ProbeFigures[];
  kiln: KilnFigures;
}

/** `standing`: the alert after the change, where the core says it and not the archive. */
export type AlertOutput = { kind: 'alert'; standing?: Standing } & AlertChange;
/** An alert that is up was answered, shelved or suppressed, eases, or says something else: told live, and no line of `rerun`. */
export type StandingOutput = { kind: 'standing' } & StandingChange;

export type CoreOutput =
  | ReadingOutput
  | AlertOutput
  | StandingOutput
  | { kind: 'stage'; at: number; from: Stage; to: Stage }
  | { kind: 'forecast'; forecast: Forecast }
  | { kind: 'stoking'; stoking: StokingFigures }
  | { kind: 'salting'; salting: SaltingFigures };
