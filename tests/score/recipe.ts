/** What is fired, by whom, with what trouble: a recipe for each seed, by the demo kiln's own source of random numbers. */
import type { DemoBoardSetting } from '../../collector/demo-kiln/demo-board.ts';
import type { DemoProbe, ProbeMishap } from '../../collector/demo-kiln/probes.ts';
import { openRandom, type Random, uniform } from '../../collector/demo-kiln/random.ts';
import type { FireTrouble, Moment } from '../../collector/demo-kiln/troubles.ts';
import type { WireMishap, WireSetting } from '../../collector/demo-kiln/wire.ts';
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { Plan } from '../../protocol/plan.ts';
import { between, pick, potterOf } from './potters.ts';
import { probesOf } from './probe-sets.ts';

export interface Recipe {
  seed: number;
  board: DemoBoardSetting;
  wire: WireSetting;
  /** The plan that is logged first, or null where nobody logs anything. */
  plan: Plan | null;
  /** Where salting starts by the plan that the collector goes by, °C. */
  saltingStartC: number;
  /** Whether the closed kiln is watched until it may be opened: it takes days, so not every one is. */
  watchedToOpening: boolean;
  words: string;
}

/** The cone that all of them fire to: most get there. */
export const FIRING_CONE = '8';
/** Every so manieth seed is watched to its opening. */
const TO_OPENING = 2;

const START_MS = Date.UTC(2031, 8, 20, 16);
/** No trouble begins in candling, and none so late that it would only meet the salting. */
const TROUBLE_FROM_C = 200;
const TROUBLE_TO_C = 1150;
const CHOKES_FROM_C = 600;

/** How long each lasts, minutes: the least and the most. */
const LASTS_MIN: Record<FireTrouble['what'] | ProbeMishap['what'], [number, number]> = {
  'choked-embers': [30, 65],
  'wet-wood': [45, 150],
  'damper-shut': [30, 110],
  'nobody-stoking': [20, 60],
  sticks: [15, 120],
  spikes: [20, 90],
  loose: [20, 90],
  opens: [1, 40],
  drifts: [90, 240],
};

/** Those too busy to log every stoke write down the turning points. */
const TURNING_POINTS: readonly string[] = [
  'plan',
  'light-up',
  'hold',
  'salt',
  'end-salt',
  'draw',
  'cone-down',
  'clam-up',
];

/** Odd seeds log, even ones do not; a probe mishap in every third of them. */
export function recipeOf(seed: number): Recipe {
  const random = openRandom(seed, 'recipe');
  const logs = seed % 2 === 1;
  const { potter, build, plan, words: potterWords } = potterOf(random, logs, FIRING_CONE);
  const { probes, words: probeWords } = probesOf(random);
  const troubles = troublesOf(random);
  const mishaps = seed % 3 === 0 ? [mishapOf(random, probes)] : [];
  const periodMs = 1000 * pick(random, [1, 2, 2, 5, 5, 5, 5, 10, 10, 10, 10, 10, 20, 20, 20, 20, 20]);
  const { keeps, wireMishaps, restarts, garbledShare } = linkOf(random, periodMs);
  const toldByLog = logs && uniform(random) < 0.5;
  const plannedHolds = plan !== null && plan.holds.length > 0;
  const writesDown = ({ log }: KnownLogEntry) =>
    logs && !(plannedHolds && log === 'hold') && (toldByLog || TURNING_POINTS.includes(log));
  return {
    seed,
    board: {
      seed,
      startMs: START_MS,
      board: 'shed-1',
      periodMs,
      keeps,
      probes,
      mishaps,
      restarts,
      plan: potter,
      build,
      readAt: probes.map(({ zone }) => zone),
      troubles,
    },
    wire: { seed, mishaps: wireMishaps, garbledShare, writesDown: (entry) => writesDown(entry) },
    plan,
    saltingStartC: potter.saltingStartC,
    watchedToOpening: seed % TO_OPENING === 0,
    words: [
      logs ? (toldByLog ? 'logs all' : 'logs turning points') : 'logs nothing',
      ...potterWords,
      `every ${periodMs / 1000} s: ${probeWords}`,
      ...troubles.map(({ what, from, minutes, moisture }) => {
        const wet = moisture === undefined ? '' : ` of ${Math.round(moisture * 100)} %`;
        return `${what}${wet} ${momentInWords(from)} for ${minutes} min`;
      }),
      ...mishaps.map(
        ({ what, probe, from, minutes }) => `${probe} ${what} ${momentInWords(from)}, ${minutes} min`,
      ),
      ...wireMishaps.map(
        ({ what, from, minutes }) => `link ${what} ${momentInWords(from)} for ${minutes} min`,
      ),
      ...(wireMishaps.length > 0 ? [`board keeps ${keeps}`] : []),
      ...restarts.map((at) => `restart ${momentInWords(at)}`),
    ].join('; '),
  };
}

function momentInWords(moment: Moment): string {
  return 'atC' in moment ? `at ${moment.atC} °C` : `at ${moment.hour} h`;
}

/** None to four troubles with the fire, apart from one another in heat. */
function troublesOf(random: Random): FireTrouble[] {
  const count = pick(random, [0, 1, 1, 2, 2, 3, 4]);
  const widthC = (TROUBLE_TO_C - TROUBLE_FROM_C) / Math.max(1, count);
  return Array.from({ length: count }, (_, i) =>
    troubleAt(random, Math.round(TROUBLE_FROM_C + widthC * (i + 0.75 * uniform(random)))),
  );
}

const ANYWHERE: readonly FireTrouble['what'][] = ['wet-wood', 'wet-wood', 'damper-shut', 'nobody-stoking'];
/** Embers choke where there are many. */
const WHERE_HOT: readonly FireTrouble['what'][] = [...ANYWHERE, 'choked-embers', 'choked-embers'];

function troubleAt(random: Random, atC: number): FireTrouble {
  const what = pick(random, atC < CHOKES_FROM_C ? ANYWHERE : WHERE_HOT);
  const from = { atC };
  const minutes = between(random, ...LASTS_MIN[what]);
  return what === 'wet-wood'
    ? { what, from, minutes, moisture: between(random, 30, 44) / 100 }
    : { what, from, minutes };
}

const PASSING: readonly ProbeMishap['what'][] = ['sticks', 'spikes', 'loose'];
const ANY_MISHAP: readonly ProbeMishap['what'][] = [...PASSING, 'opens', 'drifts', 'drifts'];

/** A kiln whose only couple is gone for good is no firing to score. */
function mishapOf(random: Random, probes: readonly DemoProbe[]): ProbeMishap {
  const probe = pick(random, probes).spec.name;
  const from = { atC: between(random, 250, 1120) };
  const what = pick(random, probes.length === 1 ? PASSING : ANY_MISHAP);
  const minutes = between(random, ...LASTS_MIN[what]);
  return what === 'drifts'
    ? { what, probe, from, minutes, driftCPerMin: -between(random, 4, 12) / 10 }
    : { what, probe, from, minutes };
}

/** Half of the links are sound; the others drop, stutter or garble, and what is missing comes late or not at all. */
function linkOf(random: Random, periodMs: number) {
  const somewhere = () => ({ atC: between(random, 60, 1180) });
  const keeps = pick(random, [0, 0, Math.round(2_400_000 / periodMs), 3600]);
  const wireMishaps: WireMishap[] = [];
  const restarts: Moment[] = [];
  let garbledShare = 0;
  if (uniform(random) < 0.5) {
    for (let drops = pick(random, [1, 1, 2, 3]); drops > 0; drops -= 1)
      wireMishaps.push({ what: 'pulled', from: somewhere(), minutes: between(random, 1, 45) });
    if (uniform(random) < 0.5)
      wireMishaps.push({ what: 'stuttering', from: somewhere(), minutes: between(random, 1, 6) });
    garbledShare = pick(random, [0, 1 / 2000, 1 / 400]);
  }
  for (let count = pick(random, [0, 0, 0, 1, 2]); count > 0; count -= 1) restarts.push(somewhere());
  return { keeps, wireMishaps, restarts, garbledShare };
}
