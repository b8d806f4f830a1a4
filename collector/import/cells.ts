/** Cells of a stranger's CSV to numbers and times. Pure. */
import { Temporal } from 'temporal-polyfill';
import type { Mapping } from '../../protocol/imports.ts';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../protocol/units.ts';

const NUMBER = /^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$/i;
const GROUPED = /^[+-]?\d{1,3}([ ,.'\u00a0]\d{3})+(?:[.,]\d+)?$/;

/** A number, a unit behind it let pass; null if it is none. `decimal` is the sign before the decimals. */
export function numberOf(cell: string, decimal: Mapping['decimal']): number | null {
  const text = cell.trim().replace(/\s*(?:°\s*[CF]?|[CF])$/i, '');
  const other = decimal === ',' ? '.' : ',';
  const plain = GROUPED.test(text) && text.includes(other) ? text.replaceAll(other, '') : text;
  const dotted = plain.replace(/[ '\u00a0]/g, '').replace(decimal, '.');
  return NUMBER.test(dotted) ? Number(dotted) : null;
}

const DATE = /^(\d{1,4})[-/.](\d{1,2})[-/.](\d{1,4})(?:[T\s,]+(.*))?$/;
const CLOCK =
  /^(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,3})\d*)?)?\s*(?:([ap])\.?m\.?)?\s*(Z|[+-]\d{2}:?\d{2})?$/i;

/** A date and time as written. `localMs`: as if it were UTC; `offsetMs`: its own zone, if it says one. */
export interface Written {
  localMs: number;
  offsetMs: number | null;
  /** Digits of the first and second field of the date, for guessing their order. */
  fields: [number, number];
}

/** `2031-03-08 06:30:00`, `8.3.2031 6:30`, `3/8/31 6:30 am`; null if it is none. */
export function writtenTime(text: string, order: 'ymd' | 'dmy' | 'mdy'): Written | null {
  const [, one = '', two = '', three = '', rest = ''] = DATE.exec(text.trim()) ?? [];
  if (one === '') return null;
  const clock = CLOCK.exec(rest.trim());
  if (!clock) return null;
  const yearFirst = one.length === 4;
  if (!yearFirst && order === 'ymd') return null;
  const [year, month, day] = yearFirst
    ? [one, two, three]
    : order === 'dmy'
      ? [three, two, one]
      : [three, one, two];
  const [, h = '', min = '', s = '0', fraction = '', half, zone] = clock;
  let hour = Number(h);
  if (half !== undefined) {
    if (hour < 1 || hour > 12) return null;
    hour = (hour % 12) + (half.toLowerCase() === 'p' ? 12 : 0);
  }
  const fullYear = year.length <= 2 ? 2000 + Number(year) : Number(year);
  const ms = Number(fraction.padEnd(3, '0') || 0);
  const localMs = Date.UTC(fullYear, Number(month) - 1, Number(day), hour, Number(min), Number(s), ms);
  const back = new Date(localMs);
  const whole =
    back.getUTCMonth() === Number(month) - 1 &&
    back.getUTCDate() === Number(day) &&
    Number(min) < 60 &&
    Number(s) < 61;
  if (!whole || hour > 23 || fullYear < 1950 || fullYear > 2200) return null;
  return { localMs, offsetMs: offsetOf(zone), fields: [Number(one), Number(two)] };
}

function offsetOf(zone: string | undefined): number | null {
  if (zone === undefined) return null;
  if (/^z$/i.test(zone)) return 0;
  const [, sign, h, min] = /^([+-])(\d{2}):?(\d{2})$/.exec(zone) ?? [];
  return (sign === '-' ? -1 : 1) * (Number(h) * HOUR_MS + Number(min) * MINUTE_MS);
}

/** `12:05`, `12:05:30`, `100:05:30`: since the start, ms; null if it is none. */
export function hoursOf(cell: string): number | null {
  const [, h, min, s = '0'] = /^(\d{1,4}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?$/.exec(cell.trim()) ?? [];
  if (h === undefined || Number(min) > 59) return null;
  return Number(h) * HOUR_MS + Number(min) * MINUTE_MS + Number(s.replace(',', '.')) * SECOND_MS;
}

/** The moments that a local time can stand for, epoch ms: two in the hour that the clocks are set back. */
export interface Moments {
  kind: 'one' | 'doubled' | 'skipped';
  earlier: number;
  later: number;
}

/** Clocks are changed on a quarter of an hour (IANA time zone database): within one all goes alike. */
const QUARTER_MS = 15 * MINUTE_MS;

/**
 * Local times of a zone to moments. In the hour that is skipped in spring a time is taken as what a clock that was not set
 * yet shows, so an hour later by the new one. Throws RangeError for a zone that there is not.
 */
export function zoneClock(zone: string): (localMs: number) => Moments {
  const known = new Map<number, Moments>();
  Temporal.Now.zonedDateTimeISO(zone);
  return (localMs) => {
    const quarter = Math.floor(localMs / QUARTER_MS) * QUARTER_MS;
    let at = known.get(quarter);
    if (at === undefined) {
      at = momentsOf(zone, quarter);
      known.set(quarter, at);
    }
    const within = localMs - quarter;
    return { kind: at.kind, earlier: at.earlier + within, later: at.later + within };
  };
}

function momentsOf(zone: string, localMs: number): Moments {
  const local = Temporal.Instant.fromEpochMilliseconds(localMs).toZonedDateTimeISO('UTC').toPlainDateTime();
  const at = (disambiguation: 'earlier' | 'later' | 'compatible') =>
    local.toZonedDateTime(zone, { disambiguation });
  const [earlier, later, compatible] = [at('earlier'), at('later'), at('compatible')];
  if (earlier.epochMilliseconds === later.epochMilliseconds)
    return { kind: 'one', earlier: earlier.epochMilliseconds, later: later.epochMilliseconds };
  const kind = compatible.toPlainDateTime().equals(local) ? 'doubled' : 'skipped';
  if (kind === 'skipped')
    return { kind, earlier: compatible.epochMilliseconds, later: compatible.epochMilliseconds };
  return { kind, earlier: earlier.epochMilliseconds, later: later.epochMilliseconds };
}
