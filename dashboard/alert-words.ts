/**
 * What an alert says now. Its text is a minute old or more; what has moved on since (a climb, a time to go) is told anew,
 * so that the words never speak against the figure.
 */
import type { ActiveAlert } from '../protocol/firing-record.ts';
import { MINUTE_MS, type TemperatureUnit } from '../protocol/units.ts';
import { lastOf } from './firing.ts';
import { goes, rateWords, toSalting } from './how-it-goes.ts';
import type { Moment } from './moment.ts';
import { inOneUnit, sayAbout, sayClock, saySpan, sayTemp, sayWhen, wayOf } from './say.ts';
import { PRIORITY_WORDS, SAY } from './words.ts';

export interface AlertWords {
  /** What is so: read from afar. */
  what: string;
  /** Why, and what to do; null where there is no more to say. */
  todo: string | null;
}

/** Beside its shape: `Come now`, `since 3:12 am`. */
export interface AlertHead {
  word: string;
  since: string;
}

/** The first sentence says what is so, the rest why and what to do. */
function parted(text: string): AlertWords {
  const [, what, todo] = /^(.+?[.!?])\s+(\S[\s\S]*)$/.exec(text) ?? [];
  return what === undefined || todo === undefined ? { what: text, todo: null } : { what, todo };
}

/** The climb is that of half an hour: so long after it was raised it may still be what it was before. Our own choice. */
const CLIMB_LAGS_MS = 5 * MINUTE_MS;

/**
 * A kiln that stood or fell, by how it goes now; beside what the alert itself said. Below the plan's stall figure a kiln
 * that climbs hardly does.
 */
function standsOrFalls(
  alert: ActiveAlert,
  moment: Moment,
  climbCPerH: number,
  unit: TemperatureUnit,
): AlertWords {
  const said = parted(inOneUnit(alert.text, unit));
  const { todo } = said;
  const { stallCPerH } = moment.firing.plan;
  const borneOut = climbCPerH < (alert.name === 'falling' ? -stallCPerH : stallCPerH);
  if (!alert.easing && !borneOut && moment.now - alert.raisedAt < CLIMB_LAGS_MS) return said;
  const way = wayOf(climbCPerH);
  if (way === 'still') return { what: SAY.stoodStill, todo };
  const rate = rateWords(climbCPerH, unit);
  if (way === 'down') return { what: SAY.losesHeat(rate), todo };
  if (climbCPerH < stallCPerH) return { what: SAY.hardlyClimbs(rate), todo };
  return { what: SAY.climbsAgain(rate), todo: SAY.watchOn };
}

/** How an alert stands: how urgent it is or that it looks over, and since when, or who has heard it. */
export function alertHead(alert: ActiveAlert, now: number): AlertHead {
  const { priority, acknowledged, shelved, easing, raisedAt } = alert;
  const word = easing ? SAY.looksOver : PRIORITY_WORDS[priority];
  if (acknowledged) return { word, since: SAY.heardAt(sayClock(acknowledged.at), acknowledged.who) };
  if (shelved) return { word, since: SAY.quietUntil(sayWhen(shelved.until, now)) };
  return { word, since: SAY.since(sayClock(raisedAt)) };
}

/** What is so now; null where the alert's own first sentence still holds. */
function whatNow(alert: ActiveAlert, { firing, now, fresh }: Moment, unit: TemperatureUnit): string | null {
  const { climbCPerH } = firing.kiln;
  switch (alert.name) {
    case 'climb-too-fast':
      return climbCPerH === null ? null : goes(climbCPerH, unit);
    case 'cooling-too-fast':
      return climbCPerH === null || wayOf(climbCPerH) !== 'down'
        ? null
        : SAY.cooling(rateWords(climbCPerH, unit));
    case 'salting-soon': {
      const to = toSalting(firing, now);
      if (to === null || fresh.stale) return SAY.saltingHeatNear;
      return to === 'reached' ? SAY.saltingHeatNow : SAY.saltingHeatIn(sayAbout(to.midMs));
    }
    case 'salting-window':
      return SAY.hotEnough;
    case 'salt-pause':
      return SAY.tooCold;
    case 'over-heat':
      return alert.probe === null ? SAY.tooHot(sayTemp(firing.plan.topC, unit)) : null;
    case 'ready-to-unbrick':
      return SAY.coolEnough;
    case 'link-silent':
      // Where another board is heard, the age of the last reading is not the silent one's.
      return fresh.ageMs === null || !fresh.stale ? null : SAY.noBoard(saySpan(fresh.ageMs));
    default:
      return null;
  }
}

export function alertWords(alert: ActiveAlert, moment: Moment, unit: TemperatureUnit): AlertWords {
  const said = parted(inOneUnit(alert.text, unit));
  if (alert.name === 'stoke-due') {
    const stoke = lastOf(moment.log, 'stoke');
    if (stoke !== null) return { what: SAY.timeToStoke, todo: SAY.lastStoke(saySpan(moment.now - stoke.at)) };
  }
  const { climbCPerH } = moment.firing.kiln;
  if ((alert.name === 'stall' || alert.name === 'falling') && climbCPerH !== null)
    return standsOrFalls(alert, moment, climbCPerH, unit);
  if (alert.easing) return { what: SAY.eased[alert.name] ?? SAY.easedElse, todo: SAY.endsIfItLasts };
  return { what: whatNow(alert, moment, unit) ?? said.what, todo: said.todo };
}
