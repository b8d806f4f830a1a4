/** The three invented firings of `sample-captures/`: what happened, who wrote what down, and what the link did. */
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import { type Plan, planSchema } from '../../protocol/plan.ts';
import type { DemoBoardSetting } from './demo-board.ts';
import type { DemoProbe } from './probes.ts';
import type { Moment } from './troubles.ts';
import type { WireSetting } from './wire.ts';

export interface SampleFiring {
  file: string;
  /** Comment lines at the head of the capture. */
  about: string[];
  board: DemoBoardSetting;
  wire: WireSetting;
  /** Where the capture ends: hours after the kiln was closed. */
  coolingHours: number;
  /** The plan that is logged first, or null where nobody logs anything. */
  plan: Plan | null;
  /** What somebody added by hand. */
  notes: { from: Moment; entry: KnownLogEntry }[];
}

const PERIOD_MS = 20_000;
const uv = { kind: 'uv' } as const;
const deg = { kind: 'deg' } as const;

const K_FRONT: DemoProbe = {
  spec: { name: 'front-low', couple: 'K', form: uv },
  zone: 'front-low',
  noiseC: 0.6,
};
const K_BACK: DemoProbe = {
  spec: { name: 'back-low', couple: 'K', form: uv },
  zone: 'back-low',
  noiseC: 0.5,
};
const S_HIGH: DemoProbe = {
  spec: { name: 'back-high', couple: 'S', form: uv },
  zone: 'back-high',
  noiseC: 0.5,
};

const GOOD: SampleFiring = {
  file: 'good-firing.capture',
  about: ['An invented firing that went well. Everything was logged.'],
  board: {
    seed: 20310308,
    startMs: Date.UTC(2031, 2, 7, 16),
    board: 'shed-1',
    periodMs: PERIOD_MS,
    keeps: 3600,
    probes: [K_FRONT, K_BACK, S_HIGH],
  },
  wire: { seed: 1, mishaps: [], garbledShare: 0, writesDown: () => true },
  coolingHours: 5,
  plan: planSchema.parse({ name: 'the shed kiln, spring' }),
  notes: [
    { from: { hour: 0 }, entry: { log: 'weather', note: 'Dry, 9 °C, a light wind from the west.' } },
    { from: { hour: 11 }, entry: { log: 'note', note: 'Down to the thin splits from the second stack.' } },
  ],
};

const WET_WOOD: SampleFiring = {
  file: 'wet-wood-two-stalls.capture',
  about: ['An invented firing with wet wood, stalled twice. Nobody logged anything.'],
  board: {
    seed: 20311011,
    startMs: Date.UTC(2031, 9, 10, 17),
    board: 'shed-1',
    periodMs: PERIOD_MS,
    keeps: 3600,
    probes: [
      { ...K_FRONT, spec: { ...K_FRONT.spec, form: deg } },
      { ...K_BACK, spec: { ...K_BACK.spec, form: deg } },
    ],
    // Stalls were told of at 800 to 900 °F for hours on wet wood, and at 1100 °C (several).
    troubles: [
      { what: 'wet-wood', from: { atC: 460 }, minutes: 110, moisture: 0.42 },
      { what: 'wet-wood', from: { atC: 1085 }, minutes: 85, moisture: 0.33 },
    ],
  },
  wire: { seed: 2, mishaps: [], garbledShare: 0, writesDown: () => false },
  coolingHours: 5,
  plan: null,
  notes: [],
};

/** Those too busy to log every stoke write down the turning points. */
const TURNING_POINTS: readonly string[] = [
  'plan',
  'weather',
  'note',
  'light-up',
  'salt',
  'end-salt',
  'draw',
  'cone-bending',
  'cone-down',
  'clam-up',
];

const FAILING: SampleFiring = {
  file: 'failing-probe-pulled-cable-restart.capture',
  about: [
    'An invented firing that went well in a link that did not: a probe that spikes and breaks, a cable pulled for an',
    'hour (the board keeps 40 min), a link that stutters, lines with a wrong character, and a board that restarts.',
  ],
  board: {
    seed: 20320419,
    startMs: Date.UTC(2031, 3, 18, 15),
    board: 'shed-1',
    periodMs: PERIOD_MS,
    keeps: 120,
    probes: [
      K_FRONT,
      {
        spec: { name: 'front-high', couple: 'K', form: { kind: 'lin', uvPerC: 41.276 } },
        zone: 'front-high',
        noiseC: 0.7,
      },
      { spec: { name: 'back-high', couple: 'N', form: deg }, zone: 'back-high', noiseC: 0.5 },
    ],
    mishaps: [
      { what: 'spikes', probe: 'front-high', from: { atC: 700 }, minutes: 50 },
      { what: 'opens', probe: 'front-high', from: { atC: 850 }, minutes: 35 },
    ],
    restarts: [{ atC: 1010 }],
  },
  wire: {
    seed: 3,
    mishaps: [
      { what: 'pulled', from: { atC: 520 }, minutes: 62 },
      { what: 'stuttering', from: { atC: 1120 }, minutes: 1.4 },
    ],
    garbledShare: 1 / 900,
    writesDown: ({ log }) => TURNING_POINTS.includes(log),
  },
  coolingHours: 5,
  plan: planSchema.parse({ name: 'the shed kiln, after Easter' }),
  notes: [
    { from: { hour: 0 }, entry: { log: 'weather', note: 'Rain until midnight.' } },
    {
      from: { atC: 960 },
      entry: { log: 'note', note: 'The upper front probe is gone; going by the others.' },
    },
  ],
};

export const SAMPLE_FIRINGS: readonly SampleFiring[] = [GOOD, WET_WOOD, FAILING];
