/** What is so and what to do, in words: the first thing on the page. Pure; most urgent first. */
import type { ActiveAlert, LinkStanding } from '../protocol/live-messages.ts';
import { fPerHFromCPerH, type TemperatureUnit } from '../protocol/units.ts';
import { type Entry, type Firing, litAt, pulledProbes, standingAlerts } from './firing.ts';
import type { Freshness } from './freshness.ts';
import { saltSoFar } from './salt.ts';
import { sayAbout, saySpan, sayTemp, sayWeight, unitSign, wayOf } from './say.ts';
import type { Standing } from './state.ts';
import { SAY } from './words.ts';

/** A firing at one moment, with how fresh it is: all that the screen shows is made from this. */
export interface Moment {
  firing: Firing;
  /** The log book with what is on its way. */
  log: Entry[];
  /** Firing time, epoch ms. */
  now: number;
  fresh: Pick<Freshness, 'ageMs' | 'stale' | 'quietForMs'>;
  links: LinkStanding[];
}

/** How urgently it is said: the look and the loudness follow from it, never from colour alone. */
export type Tone = 'calm' | 'look-soon' | 'come-now' | 'lost';

export interface Sentence {
  lines: string[];
  tone: Tone;
  /** The alert that is told here, and is answered here; the others stand below. */
  alert: ActiveAlert | null;
}

/** The sentence before there is any firing to speak of. */
export function sentenceWithoutFiring(standing: Standing, quietForMs: number | null): Sentence {
  if (standing === 'old-page') return lost(SAY.loadAgain);
  if (quietForMs !== null) return lost(SAY.noCollector(saySpan(quietForMs)));
  return { lines: [SAY.noCollectorYet], tone: 'calm', alert: null };
}

function lost(...lines: string[]): Sentence {
  return { lines, tone: 'lost', alert: null };
}

/** Alerts that say themselves how the kiln goes. */
const TELLS_THE_CLIMB = new Set(['stall', 'falling', 'climb-too-fast', 'cooling-too-fast', 'link-silent']);

/** The sentence for a moment of a firing. */
export function sentenceOf(moment: Moment, unit: TemperatureUnit, standing: Standing): Sentence {
  const { fresh, firing } = moment;
  if (standing === 'old-page') return lost(SAY.loadAgain);
  if (fresh.quietForMs !== null) return lost(SAY.noCollector(saySpan(fresh.quietForMs)), SAY.figuresAreOld);
  const alert = standingAlerts(firing)[0] ?? null;
  if (fresh.stale && alert?.name !== 'link-silent') return lost(...silentBoard(moment));
  if (alert === null) return { lines: soFar(moment, unit), tone: 'calm', alert };
  if (alert.priority === 'note') return { lines: [...soFar(moment, unit), alert.text], tone: 'calm', alert };
  const age = alert.name === 'link-silent' && fresh.ageMs !== null ? [SAY.noBoard(saySpan(fresh.ageMs))] : [];
  const climb = TELLS_THE_CLIMB.has(alert.name) ? [] : soFar(moment, unit).slice(0, 1);
  return { lines: [...age, ...whatAndWhy(alert.text), ...climb], tone: alert.priority, alert };
}

/** An alert's first sentence says what is so and is read from afar; the rest says why and what to do. */
function whatAndWhy(text: string): string[] {
  const [, what, why] = /^(.+?[.!:])\s+(\S[\s\S]*)$/.exec(text) ?? [];
  return what === undefined || why === undefined ? [text] : [what, why];
}

function silentBoard({ fresh, links }: Moment): string[] {
  const unwell = links.find(({ state }) => state !== 'open');
  return [SAY.noBoard(saySpan(fresh.ageMs ?? 0)), unwell?.text || SAY.figuresAreOld];
}

/** How the firing goes when nothing is wrong. */
function soFar(moment: Moment, unit: TemperatureUnit): string[] {
  const { firing, log, now } = moment;
  const pulled = pulledProbes(log);
  if (firing.probes.length > 0 && firing.probes.every(({ name }) => pulled.has(name))) return [SAY.noCouple];
  const { smoothC, climbCPerH } = firing.kiln;
  if (firing.lastReadingAt === null) return [silentLink(moment.links) ?? SAY.noBoardYet];
  if (smoothC === null && firing.stage !== 'open') return [SAY.noFigure];
  const temp = smoothC === null ? null : sayTemp(smoothC, unit);
  const since = firing.stages.at(-1)?.from ?? now;
  switch (firing.stage) {
    case 'before':
      return litAt({ log, stages: firing.stages }) === null && temp
        ? [SAY.notLit(temp)]
        : [goes(climbCPerH, unit)];
    case 'candling':
      return [wayWords(climbCPerH, unit, SAY.candling)];
    case 'climbing':
      return [goes(climbCPerH, unit), ...ahead(moment)];
    case 'hold':
      return [SAY.holdingFor(saySpan(now - since)), goes(climbCPerH, unit)];
    case 'salting': {
      const salt = saltSoFar(log, firing.plan, now);
      const inSalt = sayWeight(salt.inKg, unit);
      const count =
        salt.toGoKg > 0 ? SAY.saltCount(inSalt, sayWeight(salt.toGoKg, unit)) : SAY.saltAllIn(inSalt);
      return [count, goes(climbCPerH, unit)];
    }
    case 'soak':
      return [SAY.soaking(saySpan(now - since)), goes(climbCPerH, unit)];
    case 'cooling':
      if (climbCPerH === null) return [SAY.coolingSlowly];
      return [
        wayOf(climbCPerH) === 'down' ? SAY.cooling(rateWords(climbCPerH, unit)) : goes(climbCPerH, unit),
      ];
    case 'open':
      return [temp ? SAY.open(temp) : SAY.openNoFigure];
  }
}

function silentLink(links: LinkStanding[]): string | null {
  return links.find(({ state }) => state !== 'open')?.text || null;
}

function rateWords(climbCPerH: number, unit: TemperatureUnit): string {
  const rate = Math.abs(Math.round(unit === 'F' ? fPerHFromCPerH(climbCPerH) : climbCPerH));
  return `${rate}\u00a0${unitSign(unit)}`;
}

function wayWords(
  climbCPerH: number | null,
  unit: TemperatureUnit,
  climbing: (rate: string) => string,
): string {
  if (climbCPerH === null) return SAY.noFigure;
  const way = wayOf(climbCPerH);
  if (way === 'still') return SAY.still;
  return way === 'up' ? climbing(rateWords(climbCPerH, unit)) : SAY.falling(rateWords(climbCPerH, unit));
}

function goes(climbCPerH: number | null, unit: TemperatureUnit): string {
  return wayWords(climbCPerH, unit, SAY.climbing);
}

/** Time still to go to salting heat, ms from now, with its range; `reached` once there; null where it cannot be told. */
export function toSalting(
  firing: Firing,
  now: number,
): { midMs: number; lowMs: number; highMs: number | null } | 'reached' | null {
  const { kiln, plan, forecast } = firing;
  if (plan.saltingStartCone === null && plan.saltingStartC !== null && kiln.smoothC !== null)
    if (kiln.smoothC >= plan.saltingStartC) return 'reached';
  if (!forecast?.toSaltingMs) return null;
  const { low, mid, high } = forecast.toSaltingMs;
  const left = (ms: number) => Math.max(0, forecast.at + ms - now);
  return { midMs: left(mid), lowMs: left(low), highMs: high === null ? null : left(high) };
}

function ahead({ firing, now }: Moment): string[] {
  const to = toSalting(firing, now);
  if (to === null) return [];
  return [to === 'reached' ? SAY.saltingHeatNow : SAY.saltingHeatIn(sayAbout(to.midMs))];
}
