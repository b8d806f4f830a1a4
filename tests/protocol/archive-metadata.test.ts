import { describe, expect, it } from 'vitest';
import { LOG_HEADER, READINGS_HEADER } from '../../collector/archive/row-text.ts';
import { LOG_COLUMNS, READING_COLUMNS, READING_FLAGS } from '../../protocol/archive-columns.ts';
import { readingsMetadata } from '../../protocol/archive-metadata.ts';
import { STAGES } from '../../protocol/stages.ts';

const meta = readingsMetadata('spring');
const column = (name: string) => {
  const found = meta.tableSchema.columns.find((each) => each.name === name);
  if (!found) throw new Error(`no column ${name}`);
  return found;
};

describe('readings.csv-metadata.json (W3C, Metadata Vocabulary for Tabular Data, 2015)', () => {
  it('is a table description in the context that section 5.2 asks for', () => {
    expect(meta['@context'][0]).toBe('http://www.w3.org/ns/csvw');
    expect(meta.url).toBe('readings.csv');
  });

  it('has the columns of the header line in its order, by name and by title', () => {
    const header = READINGS_HEADER.trimEnd().split(',');
    expect(header.join()).toBe(
      'arrival,time,board,boot,seq,uptime_ms,cold_junction_c,probe,raw,temp_c,smooth_c,climb_c_per_h,climb_sd_c_per_h,cone,stage,late,flags',
    );
    expect(meta.tableSchema.columns.map(({ name }) => name)).toEqual(header);
    expect(meta.tableSchema.columns.map(({ titles }) => titles)).toEqual(header);
  });

  it('has names that section 5.6 allows: no underscore first, no blanks, none twice', () => {
    const names = [...READING_COLUMNS, ...LOG_COLUMNS].map(({ name }) => name);
    for (const name of names) expect(name).toMatch(/^[a-z][a-z_]*$/);
    expect(new Set(READING_COLUMNS.map(({ name }) => name)).size).toBe(READING_COLUMNS.length);
  });

  it('uses datatypes that section 5.11.1 lists', () => {
    const builtIn = [
      'nonNegativeInteger',
      'dateTimeStamp',
      'string',
      'unsignedInt',
      'double',
      'boolean',
      'json',
    ];
    for (const { datatype } of [...READING_COLUMNS, ...LOG_COLUMNS])
      expect(builtIn).toContain(typeof datatype === 'string' ? datatype : datatype.base);
  });

  it('keys a row by board, boot, seq and probe, which are never empty', () => {
    expect(meta.tableSchema.primaryKey).toEqual(['board', 'boot', 'seq', 'probe']);
    for (const name of meta.tableSchema.primaryKey) expect(column(name).required).toBe(true);
  });

  it('parts flags by spaces, and names the words of flags and stages', () => {
    expect(column('flags')).toMatchObject({ separator: ' ', datatype: { format: READING_FLAGS.join('|') } });
    expect(column('stage')).toMatchObject({ datatype: { format: STAGES.join('|') } });
  });

  // UN/CEFACT Recommendation 20, from memory: CEL degree Celsius, H12 degree Celsius per hour, C26 millisecond.
  it.each([
    ['temp_c', '°C', 'CEL'],
    ['cold_junction_c', '°C', 'CEL'],
    ['climb_c_per_h', '°C/h', 'H12'],
    ['uptime_ms', 'ms', 'C26'],
  ])('says the unit of %s', (name, text, code) => {
    expect(column(name)).toMatchObject({ 'schema:unitText': text, 'schema:unitCode': code });
  });

  it('explains every column, and the apostrophe before text', () => {
    for (const each of meta.tableSchema.columns) expect(each['dc:description']).toMatch(/\.$|\.'$/);
    expect(meta['rdfs:comment']).toMatch(/apostrophe/);
  });

  it('explains log.csv too, whose header is its columns', () => {
    expect(LOG_HEADER).toBe('entry,at,made_at,who,where,log,json,replaces\r\n');
    expect(meta.notes[0]?.columns.map(({ name }) => name).join()).toBe(LOG_HEADER.trimEnd());
  });
});
