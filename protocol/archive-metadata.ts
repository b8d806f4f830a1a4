/**
 * readings.csv-metadata.json: what each column of readings.csv is, as W3C 'Metadata Vocabulary for Tabular Data'
 * (Recommendation, 17 December 2015) has it. The file's name is the one that 'Model for Tabular Data and Metadata on
 * the Web', section 5.3, has readers look for beside the CSV.
 */
import { type Column, LOG_COLUMNS, READING_COLUMNS, READING_KEY } from './archive-columns.ts';
import { RESULT_COLUMNS, RESULT_KEY } from './results.ts';

const APOSTROPHE =
  'A text that would begin with = + - @ (or their full-width forms), a tab, CR, LF or an apostrophe has one apostrophe put before it, so that no spreadsheet takes it for a formula. To read it back, take one apostrophe away where another of these signs follows it. Numbers are not text and have none.';

const LOG_ABOUT =
  'What people did and saw, and what the alerts said. Append-only: an undo or a mended time is a new row.';

const DIALECT = {
  encoding: 'utf-8',
  lineTerminators: ['\r\n'],
  delimiter: ',',
  quoteChar: '"',
  doubleQuote: true,
  header: true,
  headerRowCount: 1,
};

function describe(column: Column) {
  return {
    name: column.name,
    // A reader of CSV on the Web checks the header line against `titles`.
    titles: column.name,
    'dc:description': column.about,
    datatype: column.datatype,
    required: column.required,
    ...(column.separator === undefined ? {} : { separator: column.separator }),
    ...(column.unit === undefined
      ? {}
      : { 'schema:unitText': column.unit.text, 'schema:unitCode': column.unit.code }),
  };
}

const ORDERS = {
  arrival:
    'Readings of the thermocouples in a kiln as they arrived, one row a probe a reading. Append-only; smooth_c, climb and cone are what was known on arrival and are never revised.',
  time: 'Readings of the thermocouples in a kiln sorted by time, one row a probe a reading. smooth_c, climb and cone are what was known on arrival and are never revised.',
};

/**
 * The document as an object for `JSON.stringify`. `title`: the firing's name. In the archive the rows stand by `arrival`,
 * in what is taken away from it by `time`.
 */
export function readingsMetadata(title: string, order: keyof typeof ORDERS = 'arrival') {
  return {
    '@context': ['http://www.w3.org/ns/csvw', { '@language': 'en' }],
    url: 'readings.csv',
    'dc:title': title,
    'dc:description': ORDERS[order],
    'rdfs:comment': APOSTROPHE,
    dialect: DIALECT,
    tableSchema: {
      columns: READING_COLUMNS.map(describe),
      primaryKey: [...READING_KEY],
    },
    notes: [
      {
        'dc:title': 'log.csv, beside this file',
        'dc:description': LOG_ABOUT,
        'rdfs:comment': APOSTROPHE,
        columns: LOG_COLUMNS.map(describe),
      },
    ],
  };
}

/** log.csv-metadata.json: beside the log.csv of a firing that was taken away. */
export function logMetadata(title: string) {
  return {
    '@context': ['http://www.w3.org/ns/csvw', { '@language': 'en' }],
    url: 'log.csv',
    'dc:title': title,
    'dc:description': LOG_ABOUT,
    'rdfs:comment': APOSTROPHE,
    dialect: DIALECT,
    tableSchema: { columns: LOG_COLUMNS.map(describe), primaryKey: ['entry'] },
  };
}

/** results.csv-metadata.json, likewise. */
export function resultsMetadata(title: string) {
  return {
    '@context': ['http://www.w3.org/ns/csvw', { '@language': 'en' }],
    url: 'results.csv',
    'dc:title': title,
    'dc:description':
      'What came out of the kiln, one row a kind of ware at a place. Replaced as a whole when it is changed.',
    'rdfs:comment': APOSTROPHE,
    dialect: DIALECT,
    tableSchema: { columns: RESULT_COLUMNS.map(describe), primaryKey: [...RESULT_KEY] },
  };
}
