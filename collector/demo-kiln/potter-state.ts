/** Where the demo kiln's potter stands in the firing, what the potter sees, and what the potter does. */
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { Stage } from '../../protocol/stages.ts';
import type { Hole, Wood } from './fire.ts';
import type { PotterPlan } from './potter-plan.ts';
import type { Random } from './random.ts';
import type { FireTroubleName } from './troubles.ts';

export interface Potter {
  plan: PotterPlan;
  stage: Stage;
  /** When the stage began, seconds after the kiln's start. */
  sinceS: number;
  /** The hold that is on, and how many are over. */
  hold: PotterPlan['holds'][number] | null;
  holdsDone: number;
  /** The read-out smoothed over some stokes, now and at each of the last minutes. */
  steadyC: number;
  minutes: number[];
  /** Highest read-out since the last stoke. */
  peakC: number;
  /** Wood an hour that the kiln is thought to want, and how much more than usual that has turned out to be. */
  woodKgPerH: number;
  knack: number;
  lastStokeS: number;
  nextStokeS: number;
  nextHole: Hole;
  damperOpen: number;
  lastDamperS: number;
  /** When body reduction began and ended, or null. */
  reducedFromS: number | null;
  reducedToS: number | null;
  saltedG: number;
  nextChargeS: number;
  saltPaused: boolean;
  drawsPulled: number;
  wasChoking: boolean;
  /** When a trouble was last going on. */
  troubledS: number;
}

/** What the potter does to the kiln in one step. */
export type Deed =
  | Extract<
      KnownLogEntry,
      {
        log:
          | 'light-up'
          | 'hold'
          | 'salt'
          | 'end-salt'
          | 'damper'
          | 'draw'
          | 'atmosphere'
          | 'cone-bending'
          | 'cone-down'
          | 'clam-up'
          | 'unbricked';
      }
    >
  | { log: 'stoke'; hole: Hole; wood: Wood }
  | { log: 'rake' };

/** What the potter goes by. */
export interface Sight {
  nowS: number;
  /** Mean of the read-out, and its hottest place. */
  readC: number;
  hottestC: number;
  /** Depth of the ember beds, as the char in them. */
  emberKg: number;
  /** Share of water in the wood that comes from the wet stack, while it does. */
  wetWood: number | null;
  on: (trouble: FireTroubleName) => boolean;
  random: Random;
}

export function openPotter(plan: PotterPlan, ambientC: number): Potter {
  return {
    plan,
    stage: 'before',
    sinceS: 0,
    hold: null,
    holdsDone: 0,
    steadyC: ambientC,
    minutes: [],
    peakC: -1e9,
    woodKgPerH: 4.8,
    knack: 1.5,
    lastStokeS: -1e9,
    nextStokeS: 0,
    nextHole: 'left',
    damperOpen: 0.4,
    lastDamperS: 0,
    reducedFromS: null,
    reducedToS: null,
    saltedG: 0,
    nextChargeS: 0,
    saltPaused: false,
    drawsPulled: 0,
    wasChoking: false,
    troubledS: -1e9,
  };
}
