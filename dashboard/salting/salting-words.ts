/** The words of the salting page. Pure. */
import type { TemperatureUnit } from '../../protocol/units.ts';
import { isLoose, notBefore, toSalting } from '../how-it-goes.ts';
import type { Moment } from '../moment.ts';
import type { SaltNow } from '../salt.ts';
import { sayAbout, sayDifference, sayTemp, sayWeight } from '../say.ts';
import { SALTING, SAY } from '../words.ts';

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
