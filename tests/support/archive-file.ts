/** readings.csv as a stranger reads it: with a CSV library that knows nothing of Spyhole. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';

/** The only firing in a data folder. */
export function onlyFiring(dataFolder: string): string {
  const folders = readdirSync(dataFolder, { withFileTypes: true }).filter((entry) => entry.isDirectory());
  const [first] = folders;
  if (!first || folders.length !== 1) throw new Error(`${folders.length} firings in ${dataFolder}, not one`);
  return join(dataFolder, first.name);
}

/** Rows by column name. Throws where the file is not RFC 4180 or a row has not all columns. */
export function readCsv(path: string): Record<string, string>[] {
  return parse(readFileSync(path), {
    columns: true,
    relax_column_count: false,
    record_delimiter: '\r\n',
  }) as Record<string, string>[];
}
