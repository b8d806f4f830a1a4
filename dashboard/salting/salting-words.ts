/** The words of the salting page. Pure. */
import type { DrawsSay } from '../../collector/core/salting-facts.ts';
import { HCL_PER_SALT } from '../../collector/core/salting-facts.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { isLoose, notBefore, toSalting } from '../how-it-goes.ts';
import type { Moment } from '../moment.ts';
import type { SaltNow } from '../salt.ts';
import { sayAbout, sayDifference, sayTemp, sayWeight } from '../say.ts';
import { SAY } from '../words.ts';

export const SALTING = {
  title: 'Salting',
  toSalting: 'To the salting page',
  backToNow: 'The whole kiln',
  noFiring: "The kiln's computer has not been heard yet.",
  go: 'Go on.',
  begin: 'Hot enough: begin.',
  beginMore: 'Small charges, both holes in turn. A ring after the first salting.',
  notYet: 'Not hot enough yet.',
  unknown: 'No temperature: go by cones and draws.',
  small: 'Small charges only.',
  wait: 'Wait for the heat.',
  cold: 'Wait: too cold for salt.',
  hot: 'Wait: too hot.',
  allIn: 'All the planned salt is in.',
  over: 'Salting is over.',
  next: (hole: string) => `Next: the ${hole}.`,
  belowPeak: (short: string) => `${short} below the peak before the last salt.`,
  stokeFirst: (short: string) => `${short} below the peak before the last salt. Stoke first.`,
  againNear: (start: string) => `Stoke, and salt again near ${start}.`,
  above: (top: string) => `The plan's top is ${top}.`,
  byRings: 'Go by the draw rings.',
  saltIn: 'Salt in',
  toGo: (salt: string) => `${salt} to go`,
  moreThanPlanned: 'as planned, or more',
  since: 'Since the last',
  noneYet: 'none yet',
  sinceMore: (charges: number) => (charges === 1 ? '1 charge so far' : `${charges} charges so far`),
  nextHole: 'Next hole',
  left: '← Left',
  right: 'Right →',
  either: 'either',
  byHole: (left: string, right: string) => `left ${left}, right ${right}`,
  heat: 'Heat',
  noHeat: 'not known',
  dip: (peak: string, dip: string) => `peak ${peak}, dipped ${dip}`,
  noPeak: 'no salt yet',
  pace: 'Pace',
  paceAnHour: (salt: string) => `${salt} an hour`,
  planned: (salt: string) => `planned: ${salt} in about an hour`,
  doneIn: 'The rest takes',
  atThisPace: 'at this pace',
  rings: 'Draw rings',
  ringsOut: (pulled: number, of: number) => `${pulled} out, of ${of} planned by the salt.`,
  ringDue: (ring: number) => `Ring ${ring} is due now.`,
  ringNext: (salt: string) => `The next one at ${salt} of salt.`,
  say: {
    nothing: 'No ring has been read yet.',
    more: 'The last ring was thin: more salt.',
    nearly: 'The last ring was good: one more to be sure.',
    enough: 'The rings say enough. One more just before the end.',
    'too-much': 'The last ring was heavy: more than enough.',
  } satisfies Record<DrawsSay, string>,
  ringsShow: 'Rings show the build-up, not the final colour. Enough comes mostly at the third.',
  fume: 'The fume',
  fumeMost: (hcl: string) =>
    `The salt so far can have made ${hcl} of hydrogen chloride at the most (${HCL_PER_SALT.toFixed(3)} of its weight, by molar mass).`,
} as const;

export interface SaltAdvice {
  /** In two or three words, to be read from two metres. */
  what: string;
  more: string | null;
  tone: 'go' | 'rest' | 'stop';
}

/** What to do about the salt now. */
export function saltAdvice({ count, heat, say }: SaltNow, moment: Moment, unit: TemperatureUnit): SaltAdvice {
  const { plan } = moment.firing;
  const short = heat === null ? '' : sayDifference(heat.shortC, unit);
  const next =
    count.next === null ? null : SALTING.next(count.next === 'left' ? SAY.leftHole : SAY.rightHole);
  switch (say) {
    case 'go':
      return count.charges === 0
        ? { what: SALTING.begin, more: SALTING.beginMore, tone: 'go' }
        : { what: SALTING.go, more: next, tone: 'go' };
    case 'small':
      return { what: SALTING.small, more: SALTING.belowPeak(short), tone: 'go' };
    case 'wait':
      return { what: SALTING.wait, more: SALTING.stokeFirst(short), tone: 'stop' };
    case 'cold':
      return {
        what: SALTING.cold,
        more: plan.saltingStartC === null ? null : SALTING.againNear(sayTemp(plan.saltingStartC, unit)),
        tone: 'stop',
      };
    case 'hot':
      return { what: SALTING.hot, more: SALTING.above(sayTemp(plan.topC, unit)), tone: 'stop' };
    case 'all-in':
      return { what: SALTING.allIn, more: SALTING.byRings, tone: 'rest' };
    case 'unknown':
      return { what: SALTING.unknown, more: next, tone: 'go' };
    case 'not-yet':
      return { what: SALTING.notYet, more: aheadWords(moment), tone: 'rest' };
    case 'over':
      return { what: SALTING.over, more: null, tone: 'rest' };
  }
}

function aheadWords({ firing, now }: Moment): string | null {
  const to = toSalting(firing, now);
  if (to === null) return SAY.saltingHeatUnknown;
  if (to === 'reached') return SAY.saltingHeatNow;
  return isLoose(to) ? SAY.saltingHeatNotBefore(notBefore(to)) : SAY.saltingHeatIn(sayAbout(to.midMs));
}

/** How many rings are out and when the next is due. */
export function ringWords({ count }: Pick<SaltNow, 'count'>, unit: TemperatureUnit): string[] {
  const { pulled, due, of, nextAtKg, say } = count.draws;
  const next =
    due > pulled
      ? [SALTING.ringDue(pulled + 1)]
      : nextAtKg === null
        ? []
        : [SALTING.ringNext(sayWeight(nextAtKg, unit))];
  return [SALTING.ringsOut(pulled, of), ...next, SALTING.say[say]];
}

/** From an hour before salting heat the salt's page is one touch away. */
const SALTING_NEAR_MS = 3_600_000;

/** Whether salting heat is an hour off or less, or reached. */
export function saltingIsNear({ firing, now }: Pick<Moment, 'firing' | 'now'>): boolean {
  if (firing.stage !== 'climbing' && firing.stage !== 'hold') return false;
  const to = toSalting(firing, now);
  return to === 'reached' || (to !== null && to.midMs < SALTING_NEAR_MS);
}
