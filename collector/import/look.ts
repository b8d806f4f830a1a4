/** What the head of a stranger's CSV looks like, and how its columns are likely meant. Pure. */
import { parse } from 'csv-parse/sync';
import {
  cellsOf,
  DELIMITERS,
  type Delimiter,
  type ENCODINGS,
  type Looked,
  type Mapping,
  mappingSchema,
} from '../../protocol/imports.ts';
import { hoursOf, numberOf, writtenTime } from './cells.ts';

const SHOWN_ROWS = 8;
const LOOKED_ROWS = 60;
/** Where nothing says °C or °F, no kiln is this hot in °C. */
const SURELY_F = 1450;
/** No temperature of a kiln, by the name of its column: what is wanted, what heats, what the board itself has. */
const NO_HEAT =
  /set|soll|target|goal|humid|feuchte|power|leistung|volt|batt|index|record|seq|count|\bnr\b|\bno\b|%|climb|rate|ambient|cold|junction/i;
/** A heat that a kiln's probe has at least once in a firing, °C or °F. */
const WARM = 15;

/** The text of the first bytes of a file: UTF-8 if it is that, else what older programs write. */
export function decodedHead(bytes: Uint8Array): { text: string; encoding: (typeof ENCODINGS)[number] } {
  if (bytes[0] === 0xff && bytes[1] === 0xfe)
    return { text: new TextDecoder('utf-16le').decode(bytes), encoding: 'utf-16le' };
  try {
    // A character that the end of the head cuts apart is no fault of the file.
    return {
      text: new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: true }),
      encoding: 'utf-8',
    };
  } catch {
    return { text: new TextDecoder('windows-1252').decode(bytes), encoding: 'windows-1252' };
  }
}

function rowsOf(text: string, delimiter: Delimiter): string[][] {
  try {
    const rows: string[][] = parse(text, {
      delimiter,
      bom: true,
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: true,
      to: LOOKED_ROWS,
    });
    return rows.map((row) => cellsOf(row, delimiter));
  } catch {
    return [];
  }
}

/**
 * The delimiter by which most rows have the same count of columns, more than one. A space is taken where none of the others
 * parts most rows: it stands in dates and names as well.
 */
function delimiterOf(text: string): { delimiter: Delimiter; rows: string[][] } {
  let best: { delimiter: Delimiter; rows: string[][]; score: number } | null = null;
  for (const delimiter of DELIMITERS) {
    if (delimiter === ' ' && best !== null && best.score * 2 > best.rows.length) break;
    const rows = rowsOf(text, delimiter);
    const counts = new Map<number, number>();
    for (const { length } of rows) counts.set(length, (counts.get(length) ?? 0) + 1);
    const [width = 1, many = 0] = [...counts].sort((a, b) => b[1] - a[1] || b[0] - a[0])[0] ?? [];
    const score = width < 2 ? 0 : many + width / 1000;
    if (best === null || score > best.score) best = { delimiter, rows, score };
  }
  return best ?? { delimiter: ',', rows: [] };
}

/** What is known of a file beside its bytes. */
export interface About {
  /** It names the firing. */
  fileName: string;
  /** The reader's own time zone. */
  zone: string;
  /** `2031-03-08`: stands in where a start is to be given. */
  today: string;
  /** What parts the columns, where somebody has said so; else it is guessed. */
  delimiter?: Delimiter | undefined;
}

export function lookAt(head: Uint8Array, about: About): Looked {
  const { text, encoding } = decodedHead(head);
  // The last line of a head is mostly torn.
  const whole = text.includes('\n') ? text.slice(0, text.lastIndexOf('\n') + 1) : text;
  const { delimiter, rows } =
    about.delimiter === undefined
      ? delimiterOf(whole)
      : { delimiter: about.delimiter, rows: rowsOf(whole, about.delimiter) };
  const decimal = decimalOf(rows, delimiter);
  const width = Math.max(0, ...rows.map(({ length }) => length));
  const isReading = (row: readonly string[] | undefined) =>
    row === undefined ||
    (row.length === width && row.filter((cell) => isFigure(cell, decimal)).length * 2 >= width);
  // One row of figures may be a serial number above the names; two in a row are readings.
  const skipRows = Math.max(
    0,
    rows.findIndex((row, i) => isReading(row) && isReading(rows[i + 1])),
  );
  const names = skipRows === 0 ? [] : (rows[skipRows - 1] ?? []);
  const columns = Array.from({ length: width }, (_, i) => names[i]?.trim() || `${i + 1}`);
  const body = rows.slice(skipRows);
  const time = timeOf(columns, body, { decimal, ...about });
  const probes = time === null ? [] : heatsOf(columns, body, decimal, usedBy(time));
  const mapping = mappingSchema.safeParse({
    name: nameOf(about.fileName),
    encoding,
    delimiter,
    decimal,
    skipRows,
    time,
    unit: unitOf(columns, body, decimal, probes),
    probes,
  });
  return { delimiter, columns, rows: body.slice(0, SHOWN_ROWS), mapping: mapping.data ?? null };
}

const nameOf = (fileName: string) =>
  fileName
    .replace(/^.*[/\\]/, '')
    .replace(/\.[^.]*$/, '')
    .slice(0, 80)
    .trim() || 'firing';

const isFigure = (cell: string, decimal: Mapping['decimal']) =>
  numberOf(cell, decimal) !== null ||
  hoursOf(cell) !== null ||
  /^\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}/.test(cell.trim());

/** A comma stands before the decimals where it parts no columns and more numbers have one than have a point. */
function decimalOf(rows: readonly string[][], delimiter: string): Mapping['decimal'] {
  if (delimiter === ',') return '.';
  const cells = rows.flat();
  const having = (sign: string) =>
    cells.filter((cell) => new RegExp(`^-?\\d+[${sign}]\\d+$`).test(cell.trim())).length;
  return having(',') > having('.') ? ',' : '.';
}

const most = <One>(all: readonly One[], holds: (one: One) => boolean) =>
  all.length > 0 && all.filter(holds).length >= 0.8 * all.length;

const usedBy = (time: Mapping['time']) => (time.kind === 'clock' ? time.columns : [time.column]);

function timeOf(
  columns: readonly string[],
  body: readonly string[][],
  { decimal, zone, today }: { decimal: Mapping['decimal']; zone: string; today: string },
): Mapping['time'] | null {
  const cell = (row: readonly string[], i: number) => row[i] ?? '';
  const asClock = (places: number[]): Mapping['time'] | null => {
    const texts = body.map((row) => places.map((i) => cell(row, i)).join(' '));
    const fits = (order: 'ymd' | 'dmy' | 'mdy') => most(texts, (text) => writtenTime(text, order) !== null);
    const order = fits('ymd') ? 'ymd' : orderOf(texts);
    return fits(order) ? { kind: 'clock', columns: places, order, zone } : null;
  };
  for (const i of columns.keys()) {
    const one = asClock([i]) ?? (i + 1 < columns.length ? asClock([i, i + 1]) : null);
    if (one) return one;
  }
  for (const [column, name] of columns.entries()) {
    if (most(body, (row) => hoursOf(cell(row, column)) !== null))
      return { kind: 'since', column, unit: 'hms', start: `${today}T00:00`, zone };
    const values = body.map((row) => numberOf(cell(row, column), decimal));
    const rises = values.every(
      (value, i) => value !== null && (i === 0 || value >= (values[i - 1] ?? value)),
    );
    if (!rises || values.length < 2 || values[0] === values.at(-1)) continue;
    const [first = 0] = values;
    if (first !== null && first >= 1e12) return { kind: 'epoch', column, unit: 'ms' };
    if (first !== null && first >= 1e9) return { kind: 'epoch', column, unit: 's' };
    if (column > 0 && !/time|zeit|min|sec|sek|hour|std|elapsed/i.test(name)) continue;
    const unit = /sec|sek|\bs\b/i.test(name)
      ? 's'
      : /hour|std|stunde|\bh\b|\bhrs?\b/i.test(name)
        ? 'h'
        : 'min';
    return { kind: 'since', column, unit, start: `${today}T00:00`, zone };
  }
  return null;
}

/** A field over 12 is a day; where none is, a point parts day from month, and a stroke month from day. */
function orderOf(texts: readonly string[]): 'dmy' | 'mdy' {
  const fields = texts.flatMap((text) => {
    const [, one, two] = /^\s*(\d{1,2})[-/.](\d{1,2})/.exec(text) ?? [];
    return one === undefined ? [] : [[Number(one), Number(two)] as const];
  });
  if (fields.some(([one]) => one > 12)) return 'dmy';
  if (fields.some(([, two]) => two > 12)) return 'mdy';
  return texts.some((text) => /\d\/\d/.test(text)) ? 'mdy' : 'dmy';
}

function heatsOf(
  columns: readonly string[],
  body: readonly string[][],
  decimal: Mapping['decimal'],
  used: readonly number[],
): { column: number; name: string }[] {
  const taken = new Set<string>();
  return columns
    .flatMap((title, column) => {
      if (used.includes(column) || NO_HEAT.test(title)) return [];
      const values = body.flatMap((row) => numberOf(row[column] ?? '', decimal) ?? []);
      if (values.length * 2 < body.length || !values.some((value) => value >= WARM)) return [];
      return [{ column, name: probeName(title, column, taken) }];
    })
    .slice(0, 16);
}

/** A name that a probe may have, of the column's own. */
function probeName(title: string, column: number, taken: Set<string>): string {
  const words = title
    .normalize('NFD')
    .toLowerCase()
    .replace(/[([].*$|°\s*[cf]?\b/g, ' ')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')
    .slice(0, 16)
    .replace(/-$/, '');
  const name = words === '' || /^\d+$/.test(words) || taken.has(words) ? `probe-${column + 1}` : words;
  taken.add(name);
  return name;
}

function unitOf(
  columns: readonly string[],
  body: readonly string[][],
  decimal: Mapping['decimal'],
  probes: readonly { column: number }[],
): Mapping['unit'] {
  const titles = probes.map(({ column }) => columns[column] ?? '').join(' ');
  if (/°\s*F|\bF\b|fahrenheit|_f\b/i.test(titles)) return 'F';
  if (/°\s*C|\bC\b|celsius|_c\b/i.test(titles)) return 'C';
  const hot = (row: readonly string[]) =>
    probes.some(({ column }) => (numberOf(row[column] ?? '', decimal) ?? 0) > SURELY_F);
  return body.some(hot) ? 'F' : 'C';
}
