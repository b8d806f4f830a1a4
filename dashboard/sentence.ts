/** What is so and what to do, in words: the first thing on the page. Pure; most urgent first. */
import type { ActiveAlert } from '../protocol/firing-record.ts';
import type { LinkStanding } from '../protocol/live-messages.ts';
import type { TemperatureUnit } from '../protocol/units.ts';
import { alertWords } from './alert-words.ts';
import { calls, type Firing, litAt, pulledProbes, standingAlerts } from './firing.ts';
import { aheadTo, goes, isLoose, notBefore, rateWords, toSalting, unbrickWords } from './how-it-goes.ts';
import type { Moment } from './moment.ts';
import { saltOf } from './salt.ts';
import { sayAbout, saySpan, sayTemp, sayWeight, sayWhen, wayOf } from './say.ts';
import type { Standing } from './state.ts';
import { PHONE, SAY, said } from './words.ts';

/** How urgently it is said: the look and the loudness follow from it, never from colour alone. */
export type Tone = 'calm' | 'heard' | 'look-soon' | 'come-now' | 'lost';

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

/** The sentence for a moment of a firing. */
export function sentenceOf(moment: Moment, unit: TemperatureUnit, standing: Standing): Sentence {
  const { fresh, firing, log } = moment;
  if (standing === 'old-page') return lost(SAY.loadAgain);
  if (fresh.quietForMs !== null)
    return lost(
      SAY.noCollector(saySpan(fresh.quietForMs)),
      PHONE.knownAt(sayWhen(fresh.knownAt ?? moment.now, moment.now)),
    );
  const alert = standingAlerts(firing, log)[0] ?? null;
  // Over an open kiln nobody is called for a board that was put away.
  if (fresh.stale && firing.stage === 'open' && alert === null)
    return { lines: [SAY.openNoFigure, ...silentBoard(moment)], tone: 'calm', alert };
  if (fresh.stale && alert?.name !== 'link-silent') return lost(...silentBoard(moment));
  if (alert === null) return { lines: soFar(moment, unit), tone: 'calm', alert };
  const { what, todo } = alertWords(alert, moment, unit);
  const told = todo === null ? [what] : [what, todo];
  // What has been waited for all these days comes first; another note takes the second line, so that nothing moves.
  if (alert.name === 'ready-to-unbrick') return { lines: told, tone: 'calm', alert };
  if (alert.priority === 'note')
    return { lines: [...soFar(moment, unit).slice(0, 1), told.join(' ')], tone: 'calm', alert };
  // The climb stands in large figures below; the count of the salt is wanted here whatever else is the matter.
  const count = firing.stage === 'salting' ? soFar(moment, unit).slice(0, 1) : [];
  return { lines: [...told, ...count], tone: calls(alert) ? alert.priority : 'heard', alert };
}

function silentBoard({ firing, fresh, links }: Moment): string[] {
  const unwell = links.find(({ state }) => state !== 'open');
  const old = firing.stage === 'cooling' ? SAY.oldAndClosed : SAY.figuresAreOld;
  return [SAY.noBoard(saySpan(fresh.ageMs ?? 0)), said(unwell?.text ?? '') || old];
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
      return [SAY.candling, goes(climbCPerH, unit)];
    case 'climbing':
      return [goes(climbCPerH, unit), ...ahead(moment)];
    case 'hold':
      return [SAY.holdingFor(saySpan(now - since)), goes(climbCPerH, unit)];
    case 'salting': {
      const salt = saltOf(moment);
      const inSalt = sayWeight(salt.inKg, unit);
      const count =
        salt.toGoKg > 0 ? SAY.saltCount(inSalt, sayWeight(salt.toGoKg, unit)) : SAY.saltAllIn(inSalt);
      return [count, goes(climbCPerH, unit)];
    }
    case 'soak':
      return [SAY.soaking(saySpan(now - since)), goes(climbCPerH, unit)];
    case 'cooling':
      return [cools(climbCPerH, unit), ...stillHot(firing, unit, now)];
    case 'open':
      return [temp ? SAY.open(temp) : SAY.openNoFigure];
  }
}

function silentLink(links: LinkStanding[]): string | null {
  return said(links.find(({ state }) => state !== 'open')?.text ?? '') || null;
}

function cools(climbCPerH: number | null, unit: TemperatureUnit): string {
  const way = climbCPerH === null ? 'still' : wayOf(climbCPerH, 'cooling');
  if (climbCPerH === null || way === 'still') return SAY.coolingSlowly;
  return way === 'down' ? SAY.cooling(rateWords(climbCPerH, unit)) : goes(climbCPerH, unit);
}

/** What a cooling kiln is kept shut for; nothing once it is cool enough, which an alert then says. */
function stillHot(firing: Firing, unit: TemperatureUnit, now: number): string[] {
  const { probes, plan } = firing;
  if (!probes.some(({ smoothC }) => smoothC === null || smoothC >= plan.unbrickC)) return [];
  const ahead = aheadTo(firing, 'unbrick', now);
  return [ahead === null ? SAY.keepShut(sayTemp(plan.unbrickC, unit)) : unbrickWords(ahead, now)];
}

/** How far salting heat is, always in one line: a line that comes and goes would move the figure below it. */
function ahead({ firing, now }: Moment): string[] {
  const { saltingStartC, saltingStartCone } = firing.plan;
  if (saltingStartC === null && saltingStartCone === null) return [];
  const to = toSalting(firing, now);
  if (to === null) return [SAY.saltingHeatUnknown];
  if (to === 'reached') return [SAY.saltingHeatNow];
  return [isLoose(to) ? SAY.saltingHeatNotBefore(notBefore(to)) : SAY.saltingHeatIn(sayAbout(to.midMs))];
}
