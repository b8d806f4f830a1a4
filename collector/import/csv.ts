/** A CSV file that comes in as a stream, read row by row with the mapping that was chosen. */
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { parse } from 'csv-parse';
import { cellsOf, type Mapping, MOST_CSV_BYTES } from '../../protocol/imports.ts';
import { type Arranged, arranged, gatherRow, newGathered } from './gather.ts';

/** Longer than this no row of figures is. */
const LONGEST_ROW = 64 * 1024;
/** So long at most others wait: the same process watches a kiln. */
const WORK_MS = 12;

export class TooLarge extends Error {}

/** Lets whatever else waits come before, from time to time. */
export function breather(): () => Promise<void> | undefined {
  let since = performance.now();
  return () => {
    if (performance.now() - since < WORK_MS) return undefined;
    return new Promise((go) => {
      setImmediate(() => {
        since = performance.now();
        go();
      });
    });
  };
}

/** The bytes as text, in the mapping's encoding. Throws `TooLarge` beyond the limit. */
async function* texts(
  bytes: Readable,
  encoding: Mapping['encoding'],
  mostBytes: number,
): AsyncGenerator<string> {
  const decoder = new TextDecoder(encoding);
  let count = 0;
  for await (const chunk of bytes as AsyncIterable<Buffer>) {
    count += chunk.length;
    if (count > mostBytes)
      throw new TooLarge(
        `The file is larger than ${Math.floor(mostBytes / 1024 / 1024)} MB: part it, or leave out columns.`,
      );
    yield decoder.decode(chunk, { stream: true });
  }
  yield decoder.decode();
}

/** Rejects with one sentence where the file is too large, or nothing of it can be taken. */
export async function readCsv(
  bytes: Readable,
  mapping: Mapping,
  mostBytes = MOST_CSV_BYTES,
): Promise<Arranged> {
  const gathered = newGathered(mapping);
  const breathe = breather();
  const parser = parse({
    delimiter: mapping.delimiter,
    bom: true,
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: true,
    max_record_size: LONGEST_ROW,
    skip_records_with_error: true,
    on_skip: () => {
      gathered.seen += 1;
      gathered.leftOut.noTime += 1;
      return undefined;
    },
  });
  // A stream of texts into the parser, and its rows out: whoever fails ends the other.
  await pipeline(Readable.from(texts(bytes, mapping.encoding, mostBytes)), parser, async (records) => {
    for await (const cells of records as AsyncIterable<string[]>) {
      gatherRow(gathered, cellsOf(cells, mapping.delimiter));
      await breathe();
    }
  });
  return arranged(gathered);
}
