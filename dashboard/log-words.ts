/** A log entry as one reads it in the log book. */
import type { TemperatureUnit } from '../protocol/units.ts';
import { DAMPER_STEPS } from './log/choices.ts';
import { sayCharge, sayWeight } from './say.ts';
import { ENTRY, loggedWords } from './words.ts';

type Json = Record<string, unknown>;

const text = (value: unknown): string => (typeof value === 'string' ? value : '');
/** A value that the page itself offers, in the reader's language. */
const known = (value: unknown): string => loggedWords(text(value));

function damper(open: unknown): string {
  if (typeof open !== 'number') return ENTRY.damperMoved;
  const step = DAMPER_STEPS.find((one) => one.open === open);
  return step ? ENTRY.damper(step.words) : ENTRY.damperPart(Math.round(open * 100));
}

function withNote(head: string, note: unknown): string {
  return text(note) === '' ? head : `${head}: ${text(note)}`;
}

/** How a draw ring was read. */
function ringWords({ thickness, orangePeel, colour }: Json): string[] {
  const read = [known(thickness), orangePeel === true ? ENTRY.orangePeel : '', known(colour)];
  return read.filter((word) => word !== '');
}

/** Words for any entry; one that this page does not know is shown by its own word and fields, so nothing is hidden. */
export function entryWords(log: string, json: Json, unit: TemperatureUnit): string {
  switch (log) {
    case 'light-up':
      return ENTRY.lit;
    case 'stoke':
      return `${ENTRY.stoked(known(json.hole))}${typeof json.kg === 'number' ? `, ${sayWeight(json.kg, unit)}` : ''}`;
    case 'salt':
      return ENTRY.salted(known(json.hole), typeof json.g === 'number' ? sayCharge(json.g, unit) : '');
    case 'end-salt':
      return ENTRY.endSalt;
    case 'damper':
      return damper(json.open);
    case 'cone-bending':
      return ENTRY.coneBending(text(json.cone), text(json.probe));
    case 'cone-down':
      return ENTRY.coneDown(text(json.cone), text(json.probe));
    case 'draw':
      return withNote(ENTRY.draw(ringWords(json)), json.note);
    case 'atmosphere':
      return ENTRY.atmosphere(known(json.seen));
    case 'weather':
      return withNote(ENTRY.weather, known(json.note));
    case 'pulled':
      return ENTRY.pulled(text(json.probe));
    case 'put-back':
      return ENTRY.putBack(text(json.probe));
    case 'hold':
      return json.on === true ? ENTRY.holdOn : ENTRY.holdOff;
    case 'clam-up':
      return ENTRY.clamUp;
    case 'unbricked':
      return ENTRY.unbricked;
    case 'note':
      return text(json.note);
    case 'plan':
      return ENTRY.plan;
    case 'shelve':
      return json.minutes === 0 ? ENTRY.callsAgain : ENTRY.quiet;
    default: {
      const fields = Object.entries(json)
        .filter(([name]) => !['id', 'at', 'who', 'where', 'log', 'mends'].includes(name))
        .map(([name, value]) => `${name} ${typeof value === 'string' ? value : JSON.stringify(value)}`);
      return [log, ...fields].join(', ');
    }
  }
}
