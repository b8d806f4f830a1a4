/**
 * results.csv and the metadata beside it: replaced as a whole, and only by whoever has seen what stands there. Its
 * revision is a digest of the file, so that a row mended in a spreadsheet counts as a change too.
 */
import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import { countFromCell, guardText, unguardText } from '../../protocol/archive-cells.ts';
import { resultsMetadata } from '../../protocol/archive-metadata.ts';
import { RESULT_COLUMNS, type ResultRow, type Results, resultRowsSchema } from '../../protocol/results.ts';
import { errorCode } from '../error-code.ts';
import { type Disk, systemDisk } from './disk.ts';

const FILE = 'results.csv';
const HEADER = RESULT_COLUMNS.map(({ name }) => name);

/** The file cannot be taken apart: nothing may be written over it. */
export class UnreadableResults extends Error {}

function cellsOf(row: ResultRow): string[] {
  return [
    guardText(row.place),
    guardText(row.shape),
    guardText(row.clay),
    row.loaded === null ? '' : String(row.loaded),
    String(row.good),
    String(row.seconds),
    String(row.lost),
    row.faults.join(' '),
    row.blush ?? '',
    guardText(row.colour),
    guardText(row.notes),
    guardText(row.photos.join(';')),
  ];
}

/** The text of results.csv (RFC 4180, a header line, CRLF). */
export function resultsText(rows: readonly ResultRow[]): string {
  return stringify([HEADER, ...rows.map(cellsOf)], { record_delimiter: '\r\n', quoted_match: /[\r\n]/ });
}

const listOf = (cell: string, separator: string) => cell.split(separator).filter((part) => part !== '');

/** The rows of a results.csv; throws `UnreadableResults` with one sentence. Columns are found by their names. */
export function resultsFromText(text: string): ResultRow[] {
  let records: Record<string, string>[];
  try {
    records = parse(text, {
      bom: true,
      columns: true,
      record_delimiter: ['\r\n', '\n'],
      skip_empty_lines: true,
    });
  } catch {
    throw new UnreadableResults(
      `${FILE} cannot be read: its lines or quotes do not match; mend it or move it away.`,
    );
  }
  const rows = records.map((record) => {
    const cell = (name: (typeof HEADER)[number]) => record[name] ?? '';
    const words = (name: (typeof HEADER)[number]) => unguardText(cell(name));
    // What is no count stays `undefined`, which the schema of a needed figure refuses below.
    const count = (name: (typeof HEADER)[number]) => countFromCell(cell(name)) ?? Number.NaN;
    return {
      place: words('place'),
      shape: words('shape'),
      clay: words('clay'),
      loaded: cell('loaded') === '' ? null : count('loaded'),
      good: count('good'),
      seconds: count('seconds'),
      lost: count('lost'),
      faults: listOf(cell('faults'), ' '),
      blush: cell('blush') === '' ? null : cell('blush'),
      colour: words('colour'),
      notes: words('notes'),
      photos: listOf(words('photos'), ';'),
    };
  });
  const parsed = resultRowsSchema.safeParse(rows);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  const [row, field] = issue?.path ?? [];
  const where =
    typeof row === 'number' ? `row ${row + 1}${field === undefined ? '' : `, ${String(field)}`}` : 'its rows';
  throw new UnreadableResults(`${FILE} cannot be read (${where}): mend it or move it away.`);
}

const revisionOf = (text: string) => createHash('sha256').update(text).digest('hex').slice(0, 16);

/**
 * What came out, of a firing's folder; no rows and an empty revision while nothing was written. Rejects with
 * `UnreadableResults`, or with the system's error.
 */
export async function readResults(folder: string): Promise<Results> {
  try {
    const text = await readFile(join(folder, FILE), 'utf8');
    return { revision: revisionOf(text), rows: resultsFromText(text) };
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return { revision: '', rows: [] };
    throw error;
  }
}

/** What came of a save: the table that stands now, and whether it is the one that was given. */
export interface Saved {
  taken: boolean;
  results: Results;
}

/** The folder's turn: two pages that save at once come one after the other. */
const turns = new Map<string, Promise<unknown>>();

/** Writes what came out, if the file is still the one of `results.revision`. Rejects as `readResults` does. */
export function saveResults(
  folder: string,
  results: Results,
  title: string,
  disk: Disk = systemDisk,
): Promise<Saved> {
  const save = async (): Promise<Saved> => {
    const standing = await readResults(folder);
    if (standing.revision !== results.revision) return { taken: false, results: standing };
    const text = resultsText(results.rows);
    await disk.replace(
      join(folder, `${FILE}-metadata.json`),
      `${JSON.stringify(resultsMetadata(title), null, 2)}\n`,
    );
    await disk.replace(join(folder, FILE), text);
    return { taken: true, results: { revision: revisionOf(text), rows: results.rows } };
  };
  const turn = (turns.get(folder) ?? Promise.resolve()).then(save, save);
  turns.set(folder, turn);
  const done = () => {
    if (turns.get(folder) === turn) turns.delete(folder);
  };
  turn.then(done, done);
  return turn;
}
