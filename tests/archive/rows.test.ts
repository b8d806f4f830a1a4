import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { takeLogApart } from '../../collector/archive/log-text.ts';
import {
  csvText,
  LOG_HEADER,
  logCells,
  logFromCells,
  readingCells,
  readingFromCells,
} from '../../collector/archive/row-text.ts';
import type { LogRow, ReadingRow } from '../../collector/archive/rows.ts';
import { READING_FLAGS } from '../../protocol/archive-columns.ts';
import { RAW_FAULTS } from '../../protocol/probes.ts';
import { STAGES } from '../../protocol/stages.ts';

const time = fc.integer({ min: 0, max: Date.UTC(2100, 0) });
const exact = fc.double({ noNaN: true, noDefaultInfinity: true });
/** A figure with the two decimals that the file keeps. */
const figure = fc.option(fc.integer({ min: -5_000_000, max: 5_000_000 }).map((n) => n / 100));
const name = fc.stringMatching(/^[a-z0-9-]{1,16}$/);
const counter = fc.nat(0xffff_ffff);
const text = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.string({
    unit: fc.constantFrom('"', "'", ',', ';', '\r', '\n', '\t', '=', '+', '-', '@', ' ', '1', 'ß', '火'),
  }),
);

const readingRow: fc.Arbitrary<ReadingRow> = fc.record({
  arrival: counter,
  at: time,
  board: name,
  boot: fc.stringMatching(/^[0-9A-F]{8}$/),
  seq: counter,
  uptimeMs: counter,
  coldJunctionC: fc.option(exact),
  probe: name,
  raw: fc.option(fc.oneof(exact, fc.constantFrom(...RAW_FAULTS))),
  tempC: figure,
  smoothC: figure,
  climbCPerH: figure,
  climbSdCPerH: figure,
  cone: fc.option(fc.constantFrom('022', '06', '05.7', '8.4', '14')),
  stage: fc.constantFrom(...STAGES),
  late: fc.boolean(),
  flags: fc.subarray([...READING_FLAGS]),
});

const logRow: fc.Arbitrary<LogRow> = fc.record({
  entry: counter,
  at: time,
  madeAt: time,
  who: text,
  where: text,
  log: text.filter((word) => word !== ''),
  // As JSON carries it: it has no negative zero (ECMA-404).
  json: fc
    .dictionary(text, fc.jsonValue({ noUnicodeString: false }))
    .map((value): Record<string, unknown> => JSON.parse(JSON.stringify(value))),
  replaces: fc.option(counter),
});

/** A spreadsheet takes text that begins so for a formula; numbers do not count. */
const FORMULA = /^(?:[=+@\t\r]|-(?!\d))/;

describe('a row of readings.csv', () => {
  it('reads back as it was, the raw value and the cold junction to the last bit', () => {
    fc.assert(
      fc.property(readingRow, (row) => {
        const [cells = []] = parse(csvText([readingCells(row)]), {}) as string[][];
        expect(readingFromCells(cells)).toEqual(row);
      }),
    );
  });

  it('is one line of plain text: no quote, no line end within it', () => {
    fc.assert(
      fc.property(readingRow, (row) => {
        const line = csvText([readingCells(row)]);
        expect(line).toMatch(/^[^"\r\n]*\r\n$/);
      }),
    );
  });

  it('has no text that runs as a formula, even for a probe called -low', () => {
    fc.assert(
      fc.property(readingRow, (row) => {
        for (const i of [2, 3, 7, 13, 14, 16]) expect(readingCells(row)[i]).not.toMatch(/^[=+\-@\t\r]/);
      }),
    );
  });
});

describe('a row of log.csv', () => {
  it('reads back as it was through a reader of RFC 4180, whatever stands in it', () => {
    fc.assert(
      fc.property(fc.array(logRow, { maxLength: 5 }), (rows) => {
        const written = csvText(rows.map(logCells));
        const records = parse(written, { record_delimiter: '\r\n' }) as string[][];
        expect(records.map(logFromCells)).toEqual(rows);
      }),
    );
  });

  it('reads back through the reader of the archive, line ends in names and all', () => {
    fc.assert(
      fc.property(fc.array(logRow, { maxLength: 5 }), (rows) => {
        const bytes = Buffer.from(LOG_HEADER + csvText(rows.map(logCells)));
        expect(takeLogApart(bytes)).toEqual({ rows, broken: [], keepBytes: bytes.length });
      }),
    );
  });

  it('holds no cell that runs as a formula', () => {
    fc.assert(
      fc.property(logRow, (row) => {
        for (const cell of logCells(row)) expect(cell).not.toMatch(FORMULA);
      }),
    );
  });

  it('keeps a note that begins like a formula as it was said, within its JSON', () => {
    const row: LogRow = {
      entry: 0,
      at: 0,
      madeAt: 0,
      who: '=cmd',
      where: 'page',
      log: 'note',
      json: { log: 'note', note: '=HYPERLINK("x")\r\n-5.2' },
      replaces: null,
    };
    const written = csvText([logCells(row)]);
    expect(written).toBe(
      '0,1970-01-01T00:00:00.000Z,1970-01-01T00:00:00.000Z,\'=cmd,page,note,"{""log"":""note"",""note"":""=HYPERLINK(\\""x\\"")\\r\\n-5.2""}",\r\n',
    );
  });
});
