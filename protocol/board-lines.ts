/**
 * The board's lines, version 1: both directions, framed `$` body `*` CRC. The codec is strict: what it takes is a line
 * of the format to the last byte, and what it writes, it takes.
 */
import {
  type BadFrame,
  formatCounter,
  formatNumber,
  frame,
  openFrame,
  parseCounter,
  parseNumber,
} from './frame.ts';
import { formatProbeSpec, type ProbeSpec, parseProbeSpec, RAW_FAULTS, type RawValue } from './probes.ts';

export interface Hello {
  board: string;
  boot: string;
  periodMs: number;
  keeps: number;
  probes: ProbeSpec[];
}

export type BoardLine =
  | { kind: 'hello'; hello: Hello }
  | { kind: 'reading'; seq: number; uptimeMs: number; coldJunctionC: number | null; values: RawValue[] }
  | { kind: 'button'; seq: number; uptimeMs: number; button: number }
  | { kind: 'missing'; from: number; to: number };

/** Lamp and buzzer: 0 quiet, 1 look soon, 2 come now. */
export type LampLevel = 0 | 1 | 2;

export type CollectorLine =
  | { kind: 'hello?' }
  | { kind: 'give'; from: number; to: number }
  | { kind: 'lamp'; level: LampLevel };

/**
 * Why a line is none: not framed, too long, a CRC that does not match, a letter that this version does not know, a
 * wrong number of fields, or a field outside its grammar.
 */
export type BadBoardLine = BadFrame | 'unknown-letter' | 'wrong-fields' | 'bad-field';

type Parsed<Line> = { ok: true; line: Line } | { ok: false; why: BadBoardLine };

/** The most readings that one `G` may ask for. */
export const MOST_A_GIVE = 200;

const BOARD_ID = /^[a-z0-9-]{1,16}$/;
const BOOT_ID = /^[0-9A-Fa-f]{8}$/;
const BUTTON = /^[1-8]$/;
const LEVEL = /^[012]$/;

const WRONG_FIELDS = { ok: false, why: 'wrong-fields' } as const;
const BAD_FIELD = { ok: false, why: 'bad-field' } as const;

/** How many readings a range holds that runs forward modulo 2^32. */
export function rangeLength(from: number, to: number): number {
  return ((to - from) >>> 0) + 1;
}

/** A line from the board, its line end dropped. How many values a reading must have is for the hello to say. */
export function parseBoardLine(text: string): Parsed<BoardLine> {
  const framed = openFrame(text);
  if (!framed.ok) return framed;
  const fields = framed.body.split(',');
  switch (fields[0]) {
    case 'R':
      return parseReading(fields);
    case 'B':
      return parseHello(fields);
    case 'P':
      return parseButton(fields);
    case 'M': {
      const range = parseRange(fields);
      return range.ok ? { ok: true, line: { kind: 'missing', ...range.range } } : range;
    }
    default:
      return { ok: false, why: 'unknown-letter' };
  }
}

/** A line to the board, its line end dropped. */
export function parseCollectorLine(text: string): Parsed<CollectorLine> {
  const framed = openFrame(text);
  if (!framed.ok) return framed;
  const fields = framed.body.split(',');
  switch (fields[0]) {
    case '?':
      return fields.length === 1 ? { ok: true, line: { kind: 'hello?' } } : WRONG_FIELDS;
    case 'G': {
      const range = parseRange(fields);
      if (!range.ok) return range;
      const { from, to } = range.range;
      return rangeLength(from, to) <= MOST_A_GIVE
        ? { ok: true, line: { kind: 'give', from, to } }
        : BAD_FIELD;
    }
    case 'L': {
      const [, level, ...more] = fields;
      if (level === undefined || more.length > 0) return WRONG_FIELDS;
      return LEVEL.test(level)
        ? { ok: true, line: { kind: 'lamp', level: Number(level) as LampLevel } }
        : BAD_FIELD;
    }
    default:
      return { ok: false, why: 'unknown-letter' };
  }
}

/** The framed text of a board's line, without line end. Throws RangeError for what the format cannot say. */
export function formatBoardLine(line: BoardLine): string {
  const body = boardLineBody(line);
  const text = frame(body);
  const check = parseBoardLine(text);
  if (!check.ok) throw new RangeError(`the format has no such line (${check.why}): ${body}`);
  return text;
}

/** The framed text of a line to the board, without line end. Throws RangeError for what the format cannot say. */
export function formatCollectorLine(line: CollectorLine): string {
  switch (line.kind) {
    case 'hello?':
      return frame('?');
    case 'give':
      if (rangeLength(line.from, line.to) > MOST_A_GIVE)
        throw new RangeError(`more than ${MOST_A_GIVE} readings in one G`);
      return frame(`G,${formatCounter(line.from)},${formatCounter(line.to)}`);
    case 'lamp':
      return frame(`L,${line.level}`);
  }
}

function boardLineBody(line: BoardLine): string {
  switch (line.kind) {
    case 'hello': {
      const { board, boot, periodMs, keeps, probes } = line.hello;
      const counters = `${formatCounter(periodMs)},${formatCounter(keeps)}`;
      return ['B', '1', board, boot, counters, ...probes.map(formatProbeSpec)].join(',');
    }
    case 'reading': {
      const coldJunction = line.coldJunctionC === null ? '' : formatNumber(line.coldJunctionC);
      const values = line.values.map(formatRawValue);
      return ['R', formatCounter(line.seq), formatCounter(line.uptimeMs), coldJunction, ...values].join(',');
    }
    case 'button':
      return `P,${formatCounter(line.seq)},${formatCounter(line.uptimeMs)},${line.button}`;
    case 'missing':
      return `M,${formatCounter(line.from)},${formatCounter(line.to)}`;
  }
}

function parseHello(fields: string[]): Parsed<BoardLine> {
  const [, version, board, boot, periodText, keepsText, ...probeTexts] = fields;
  if (board === undefined || boot === undefined || probeTexts.length === 0) return WRONG_FIELDS;
  const periodMs = parseCounter(periodText);
  const keeps = parseCounter(keepsText);
  if (version !== '1' || !BOARD_ID.test(board) || !BOOT_ID.test(boot)) return BAD_FIELD;
  if (periodMs === undefined || periodMs === 0 || keeps === undefined) return BAD_FIELD;
  const probes: ProbeSpec[] = [];
  for (const text of probeTexts) {
    const probe = parseProbeSpec(text);
    if (probe === null || probes.some(({ name }) => name === probe.name)) return BAD_FIELD;
    probes.push(probe);
  }
  return { ok: true, line: { kind: 'hello', hello: { board, boot, periodMs, keeps, probes } } };
}

function parseReading(fields: string[]): Parsed<BoardLine> {
  if (fields.length < 5) return WRONG_FIELDS;
  const seq = parseCounter(fields[1]);
  const uptimeMs = parseCounter(fields[2]);
  const coldText = fields[3] ?? '';
  const coldJunctionC = coldText === '' ? null : parseNumber(coldText);
  if (seq === undefined || uptimeMs === undefined || coldJunctionC === undefined) return BAD_FIELD;
  const values: RawValue[] = [];
  for (let i = 4; i < fields.length; i += 1) {
    const value = parseRawValue(fields[i] ?? '');
    if (value === undefined) return BAD_FIELD;
    values.push(value);
  }
  return { ok: true, line: { kind: 'reading', seq, uptimeMs, coldJunctionC, values } };
}

function parseButton(fields: string[]): Parsed<BoardLine> {
  const [, seqText, uptimeText, buttonText, ...more] = fields;
  if (buttonText === undefined || more.length > 0) return WRONG_FIELDS;
  const seq = parseCounter(seqText);
  const uptimeMs = parseCounter(uptimeText);
  if (seq === undefined || uptimeMs === undefined || !BUTTON.test(buttonText)) return BAD_FIELD;
  return { ok: true, line: { kind: 'button', seq, uptimeMs, button: Number(buttonText) } };
}

function parseRange(
  fields: string[],
): { ok: true; range: { from: number; to: number } } | typeof WRONG_FIELDS | typeof BAD_FIELD {
  const [, fromText, toText, ...more] = fields;
  if (toText === undefined || more.length > 0) return WRONG_FIELDS;
  const from = parseCounter(fromText);
  const to = parseCounter(toText);
  return from === undefined || to === undefined ? BAD_FIELD : { ok: true, range: { from, to } };
}

function parseRawValue(text: string): RawValue | undefined {
  if (text === '') return null;
  if (text.startsWith('!')) return RAW_FAULTS.find((fault) => fault === text);
  return parseNumber(text);
}

function formatRawValue(value: RawValue): string {
  if (value === null) return '';
  return typeof value === 'number' ? formatNumber(value) : value;
}
