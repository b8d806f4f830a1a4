/** The table of past firings: its rows, sorted and sifted. Pure. */
import { type FigureName, figureOf } from '../../collector/core/firing-facts/figures.ts';
import type { FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import type { FiringSummary } from '../../protocol/firing-record.ts';

/** One firing; `answer` is null while its figures are not here, and where they could not be had. */
export interface PastRow {
  firing: FiringSummary;
  answer: FiringFactsAnswer | null;
}

export type ColumnName =
  | 'firing'
  | 'date'
  | 'share'
  | Extract<FigureName, 'toSaltingMs' | 'burntMs' | 'topC' | 'topCone' | 'woodKg' | 'saltKg' | 'stalls'>;

export const COLUMNS: readonly ColumnName[] = [
  'firing',
  'date',
  'toSaltingMs',
  'burntMs',
  'topC',
  'topCone',
  'woodKg',
  'saltKg',
  'stalls',
  'share',
];

export interface Sorting {
  by: ColumnName;
  up: boolean;
}

export const NEWEST_FIRST: Sorting = { by: 'date', up: false };

/** A press on a column's head: names begin with A, figures with the greatest; a second press turns it round. */
export function sortedAgain(sorting: Sorting, by: ColumnName): Sorting {
  return sorting.by === by ? { by, up: !sorting.up } : { by, up: by === 'firing' };
}

function cellValue({ firing, answer }: PastRow, by: ColumnName): string | number | null {
  if (by === 'firing') return firing.name.toLocaleLowerCase();
  if (by === 'date') return firing.startedAt;
  if (by === 'share') return answer?.yield?.share ?? null;
  if (by === 'topC') return answer?.facts.topC ?? firing.topC;
  return answer && figureOf(answer.facts, by);
}

/** What is not known stands last, whichever way it is sorted; of equal ones the newer first. */
export function sorted(rows: readonly PastRow[], { by, up }: Sorting): PastRow[] {
  const newer = (a: PastRow, b: PastRow) => (b.firing.startedAt ?? 0) - (a.firing.startedAt ?? 0);
  return [...rows].sort((a, b) => {
    const [x, y] = [cellValue(a, by), cellValue(b, by)];
    if (x === null || y === null) return x === y ? newer(a, b) : x === null ? 1 : -1;
    const order = typeof x === 'string' || typeof y === 'string' ? String(x).localeCompare(String(y)) : x - y;
    return (up ? order : -order) || newer(a, b);
  });
}

export interface Sieve {
  /** Null: all. */
  year: number | null;
  text: string;
  results: 'all' | 'counted' | 'not-counted';
}

export const ALL: Sieve = { year: null, text: '', results: 'all' };

/** The year in which it began, by this phone's calendar; null where that is not known. */
export function yearOf({ startedAt }: FiringSummary): number | null {
  return startedAt === null ? null : new Date(startedAt).getFullYear();
}

/** Every word of `text` must stand in the firing's name, its folder's name or its weather. */
export function sifted(rows: readonly PastRow[], { year, text, results }: Sieve): PastRow[] {
  const words = text.toLocaleLowerCase().split(/\s+/).filter(Boolean);
  return rows.filter(({ firing, answer }) => {
    if (year !== null && yearOf(firing) !== year) return false;
    if (results !== 'all' && (answer?.yield != null) !== (results === 'counted')) return false;
    const said = [firing.name, firing.id, ...(answer?.facts.weather ?? [])].join(' ').toLocaleLowerCase();
    return words.every((word) => said.includes(word));
  });
}
