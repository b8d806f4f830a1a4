/**
 * What is wrong with a CSV file by the metadata beside it: a check after W3C 'Model for Tabular Data and Metadata on the
 * Web' and 'Metadata Vocabulary for Tabular Data' (Recommendations, 17 December 2015), for the parts of both that are used
 * here. It knows nothing of Spyhole's columns.
 */
import { parse } from 'csv-parse/sync';
import { z } from 'zod';

const metadataSchema = z.object({
  '@context': z.tuple([z.literal('http://www.w3.org/ns/csvw'), z.object({ '@language': z.string() })]),
  url: z.string(),
  dialect: z.object({
    encoding: z.literal('utf-8'),
    lineTerminators: z.array(z.string()),
    delimiter: z.string(),
    quoteChar: z.string(),
    doubleQuote: z.literal(true),
    header: z.literal(true),
    headerRowCount: z.literal(1),
  }),
  tableSchema: z.object({
    columns: z.array(
      z.object({
        name: z.string(),
        titles: z.string(),
        datatype: z.union([z.string(), z.object({ base: z.string(), format: z.string() })]),
        required: z.boolean(),
        separator: z.string().optional(),
      }),
    ),
    primaryKey: z.array(z.string()),
  }),
});
type Column = z.infer<typeof metadataSchema>['tableSchema']['columns'][number];

/** Lexical forms of XML Schema's datatypes (W3C XML Schema 1.1 Part 2), which section 6.4 of the model refers to. */
const FORMS: Record<string, (text: string) => boolean> = {
  string: () => true,
  json: (text) => {
    try {
      JSON.parse(text);
      return true;
    } catch {
      return false;
    }
  },
  nonNegativeInteger: (text) => /^\+?\d+$/.test(text),
  unsignedInt: (text) => /^\d+$/.test(text) && Number(text) <= 4_294_967_295,
  double: (text) => /^([+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?|[+-]?INF|NaN)$/.test(text),
  dateTimeStamp: (text) =>
    /^-?\d{4,}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$/.test(text) &&
    !Number.isNaN(Date.parse(text)),
};

/** Section 6.4.5: a boolean's format is `true|false`; section 6.4.2 and others: a string's is a regular expression. */
function isOf(datatype: Column['datatype'], text: string): boolean {
  if (typeof datatype === 'string') return FORMS[datatype]?.(text) ?? false;
  const { base, format } = datatype;
  if (base === 'boolean') return format.split('|').includes(text);
  return base === 'string' && new RegExp(`^(?:${format})$`, 'u').test(text);
}

/** Every complaint in a sentence; none: the file keeps to its metadata. */
export function complaints(csv: Buffer, metadataText: string): string[] {
  const metadata = metadataSchema.parse(JSON.parse(metadataText));
  const { dialect, tableSchema } = metadata;
  const text = new TextDecoder(dialect.encoding, { fatal: true }).decode(csv);
  const rows: string[][] = parse(text, {
    delimiter: dialect.delimiter,
    quote: dialect.quoteChar,
    record_delimiter: dialect.lineTerminators,
    relax_column_count: true,
  });
  const [header = [], ...body] = rows;
  const titles = tableSchema.columns.map((column) => column.titles);
  const found: string[] = [];
  if (header.join() !== titles.join()) found.push(`The header is ${header.join()} and not ${titles.join()}.`);
  const keys = new Set<string>();
  for (const [i, cells] of body.entries()) {
    const line = `Row ${i + 1}`;
    if (cells.length !== titles.length) found.push(`${line} has ${cells.length} cells.`);
    for (const [place, column] of tableSchema.columns.entries())
      found.push(...cellComplaints(column, cells[place] ?? '').map((what) => `${line}: ${what}`));
    const key = JSON.stringify(tableSchema.primaryKey.map((name) => cells[header.indexOf(name)]));
    if (keys.has(key)) found.push(`${line} has the key ${key} of another row.`);
    keys.add(key);
  }
  return found;
}

/** Section 6.4 of the model: an empty cell is null, a separator makes a list, and each item is of the datatype. */
function cellComplaints(column: Column, cell: string): string[] {
  if (cell === '') return column.required ? [`${column.name} is empty.`] : [];
  const items = column.separator === undefined ? [cell] : cell.split(column.separator);
  return items
    .filter((item) => !isOf(column.datatype, item))
    .map((item) => `${column.name} cannot be ${item}.`);
}
