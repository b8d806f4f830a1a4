/** The frame around every line of the board, `$` body `*` CRC, and the grammar of the fields in it. */
import { crc16, crcText } from './crc16.ts';

/** From `$` to the last digit of the CRC. */
export const MAX_LINE_BYTES = 240;

/** Counters are unsigned and of 32 bits. */
export const COUNTER_MAX = 0xffff_ffff;

const CRC_CHARS = 4;
/** Printable ASCII but `$` and `*`; the fields' own grammar narrows it further. */
const BODY = /^[ -#%-)+-~]*$/;
const CRC = /^[0-9A-F]{4}$/;
const NUMBER = /^-?\d{1,7}(?:\.\d{1,6})?$/;
const COUNTER = /^\d{1,10}$/;

export type BadFrame = 'not-framed' | 'too-long' | 'bad-crc';

/** The body between `$` and `*`, if length, frame and CRC are right. */
export function openFrame(text: string): { ok: true; body: string } | { ok: false; why: BadFrame } {
  const star = text.length - CRC_CHARS - 1;
  if (star < 1 || text[0] !== '$' || text[star] !== '*') return { ok: false, why: 'not-framed' };
  if (text.length > MAX_LINE_BYTES) return { ok: false, why: 'too-long' };
  const body = text.slice(1, star);
  const crc = text.slice(star + 1);
  if (!BODY.test(body) || !CRC.test(crc)) return { ok: false, why: 'not-framed' };
  return crc16(body) === Number.parseInt(crc, 16) ? { ok: true, body } : { ok: false, why: 'bad-crc' };
}

/** Puts the frame around a body. Throws RangeError if the line gets too long or the body holds what no line may. */
export function frame(body: string): string {
  const line = `$${body}*${crcText(crc16(body))}`;
  if (!BODY.test(body)) throw new RangeError(`not the body of a line: ${JSON.stringify(body)}`);
  if (line.length > MAX_LINE_BYTES) throw new RangeError(`a line of more than ${MAX_LINE_BYTES} bytes`);
  return line;
}

/** `-?\d{1,7}(\.\d{1,6})?` to a number, never -0; undefined if it is none. */
export function parseNumber(text: string): number | undefined {
  return NUMBER.test(text) ? Number(text) + 0 : undefined;
}

/** A number in the line's grammar, rounded to six decimals. Throws RangeError at 10 million and beyond, and for NaN. */
export function formatNumber(value: number): string {
  const rounded = value.toFixed(6);
  const text = rounded.replace(/\.?0+$/, '');
  if (!NUMBER.test(rounded)) throw new RangeError(`not a number for a line: ${value}`);
  return text === '-0' ? '0' : text;
}

/** An unsigned 32-bit decimal; undefined if it is none. */
export function parseCounter(text: string | undefined): number | undefined {
  if (text === undefined || !COUNTER.test(text)) return undefined;
  const counter = Number(text);
  return counter <= COUNTER_MAX ? counter : undefined;
}

/** Throws RangeError if it is no whole number from 0 to 2^32 - 1. */
export function formatCounter(value: number): string {
  if (!Number.isInteger(value) || value < 0 || value > COUNTER_MAX)
    throw new RangeError(`not a 32-bit counter: ${value}`);
  return String(value);
}
