/** What the rules look at: the kiln as the core knows it at one instant. Units in the names; times epoch ms of firing time. */
import type { Plan } from '../protocol/plan.ts';
import type { Stage } from '../protocol/stages.ts';

export interface ProbeView {
  probe: string;
  /** Has a good value that is not older than 5 periods, and stands in the kiln. */
  working: boolean;
  pulled: boolean;
  smoothC: number | null;
  /** From here on it is near the most that its couple can read. */
  nearLimitC: number;
  /** The fault in words, or null. */
  fault: string | null;
  /** What may be wrong with it, in words, or null: its heat is still taken for what it is. */
  doubt: string | null;
}

export interface BoardView {
  board: string;
  periodMs: number;
  lastReadingAt: number;
  coldJunctionC: number | null;
  /** Why its own temperature cannot be right: it is beyond what a box can have, or jumps; or null. */
  coldDoubt: 'range' | 'jump' | null;
}

export interface KilnView {
  at: number;
  plan: Plan;
  stage: Stage;
  kiln: {
    smoothC: number | null;
    climbCPerH: number | null;
    climbSdCPerH: number | null;
    /** The climb as the readings alone show it, not drawn to the usual climb. */
    shownCPerH: number | null;
    /** Mean of the cones, and that of the place that is furthest, on the scale of `parseCone`. */
    coneValue: number | null;
    mostConeValue: number | null;
  };
  /** What the tests for standing and falling say, and for how long it has looked so. */
  still: { stands: { sure: boolean; forMs: number }; falls: { sure: boolean; forMs: number } };
  probes: ProbeView[];
  boards: BoardView[];
  /** How long the kiln has been hot enough for salt, or in the window since, while nothing of the salting was logged, ms. */
  hotForMs: number;
  /** Since the last hold ended, ms; infinite if there was none. */
  sinceHoldMs: number;
  /** No couple is left in the kiln: all were pulled on purpose. */
  noCoupleLeft: boolean;
  /** Milliseconds to salting heat by the present climb, or null where that cannot be said. */
  toSaltingMs: number | null;
  salt: { inKg: number; startedAt: number | null; lastAt: number | null; ended: boolean };
  /** Draw rings pulled since salting began. */
  draws: number;
  stoke: {
    lastAt: number | null;
    medianIntervalMs: number | null;
    /** The stokes were logged, not only seen in the signal. */
    logged: boolean;
    /** When it was noticed that the heat has peaked and begun to go down, if it has since the last stoke. */
    peakedAt: number | null;
  };
  /** When the damper was last moved, by the log. */
  damperAt: number | null;
  archiveTrouble: string | null;
  /** Which armed phones have not been heard, in a sentence; null while all are. */
  phoneTrouble: string | null;
}
