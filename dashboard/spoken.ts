/** What is read aloud to those who do not see the page: the kiln now, and the whole firing as the curve shows it. Pure. */
import type { TemperatureUnit } from '../protocol/units.ts';
import type { Columns } from './curve/columns.ts';
import { countingEntries, lastOf, litAt } from './firing.ts';
import type { Moment } from './moment.ts';
import { saltOf } from './salt.ts';
import { saySpan, sayTemp, sayWeight, sayWhen, wayOf } from './say.ts';
import type { Sentence } from './sentence.ts';
import { SAY, SPOKEN, STAGE_WORDS } from './words.ts';

export interface Spoken {
  text: string;
  /** The same as long as nothing has changed that is worth saying. */
  key: string;
}

/** A heat that has moved on by less is not worth a word. */
const WORTH_SAYING_C = 10;

/** `1105 °C. Climbing 62 °C an hour. Salting heat in about 1½ hours. The last stoke was 4 minutes ago.` */
export function spokenNow(moment: Moment, { lines, tone }: Sentence, unit: TemperatureUnit): Spoken {
  const { firing, log, now, fresh } = moment;
  const { smoothC, climbCPerH } = firing.kiln;
  const stoke = lastOf(log, 'stoke');
  const fires = firing.stage === 'climbing' || firing.stage === 'salting' || firing.stage === 'soak';
  const lastStoke = stoke !== null && fires ? SAY.lastStoke(saySpan(now - stoke.at)) : null;
  const parts = [
    ...(smoothC === null || fresh.stale || tone === 'lost' ? [] : [SPOKEN.heat(sayTemp(smoothC, unit))]),
    ...lines,
    ...(lastStoke === null || lines.some((line) => line.includes(lastStoke)) ? [] : [lastStoke]),
  ];
  const key = [
    tone,
    firing.stage,
    smoothC === null ? '' : Math.round(smoothC / WORTH_SAYING_C),
    climbCPerH === null ? '' : wayOf(climbCPerH, firing.stage),
    countingEntries(log).length,
  ].join(' ');
  return { text: parts.join(' '), key };
}

/** The kiln's hottest reading up to now. */
function hottest(columns: Columns): { at: number; tempC: number } | null {
  let top: { at: number; tempC: number } | null = null;
  columns.kiln.forEach((tempC, row) => {
    const at = columns.at[row];
    if (typeof tempC === 'number' && at !== undefined && (top === null || tempC > top.tempC))
      top = { at, tempC };
  });
  return top;
}

/** The whole firing in words: from when, how long, the hottest, what stood still, stokes and salt. */
export function spokenFiring(moment: Moment, columns: Columns, unit: TemperatureUnit): string {
  const { firing, log, now } = moment;
  const lit = litAt({ log, stages: firing.stages });
  const from = lit ?? columns.at[0] ?? null;
  if (from === null) return '';
  const top = hottest(columns);
  const { smoothC } = firing.kiln;
  const stalls = firing.alerts.filter(({ alert }) => alert.name === 'stall').length;
  const stokes = countingEntries(log).filter((row) => row.log === 'stoke').length;
  const { inKg } = saltOf(moment);
  const parts = [
    lit === null
      ? SPOKEN.from(sayWhen(from, now), saySpan(now - from))
      : SPOKEN.lit(sayWhen(lit, now), saySpan(now - lit)),
    ...(top === null ? [] : [SPOKEN.hottest(sayTemp(top.tempC, unit), sayWhen(top.at, now))]),
    ...(smoothC === null ? [] : [SPOKEN.atNow(sayTemp(smoothC, unit), STAGE_WORDS[firing.stage])]),
    ...(stalls === 0 ? [] : [SPOKEN.stalls(stalls)]),
    ...(stokes === 0 ? [] : [SPOKEN.stokes(stokes)]),
    ...(inKg === 0 ? [] : [SPOKEN.salt(sayWeight(inKg, unit))]),
  ];
  return parts.join(' ');
}
