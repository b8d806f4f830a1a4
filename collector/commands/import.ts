/** `spyhole import FILE`: a firing from elsewhere into the data folder. */
import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { z } from 'zod';
import { HEAD_BYTES, type Mapping, mappingSchema, type Tried } from '../../protocol/imports.ts';
import { formatTime } from '../../protocol/times.ts';
import { fFromC } from '../../protocol/units.ts';
import { localDate } from '../archive/folder-name.ts';
import { errorCode } from '../error-code.ts';
import { createImportBook, ownZone } from '../import/book.ts';
import { leftOutSentence } from '../import/left-out.ts';
import { userDataFolder } from './user-folders.ts';

export interface ImportOptions {
  name?: string;
  zone?: string;
  start?: string;
  unit?: 'C' | 'F';
  dates?: 'ymd' | 'dmy' | 'mdy';
  probes?: string;
  look: boolean;
  data?: string;
}

const say = (text: string): void => {
  process.stderr.write(`${text}\n`);
};
const ZIP_BEGINS = Buffer.from('PK\u0003\u0004');

/** Rejects with one sentence where the file cannot be read as it is, and says what to set. */
export async function importCommand(file: string, options: ImportOptions): Promise<void> {
  const dataFolder = options.data ?? userDataFolder();
  const zone = options.zone ?? ownZone();
  const book = createImportBook(dataFolder, zone);
  const head = await headOf(file);
  if (head.subarray(0, ZIP_BEGINS.length).equals(ZIP_BEGINS)) {
    if (options.look) throw new Error('--look is for a CSV: a zip of Spyhole is taken over as it is.');
    const { id, say: broken } = await book.zip(createReadStream(file));
    if (broken !== null) say(broken);
    return say(`Taken over: ${join(dataFolder, id)}`);
  }
  const { columns, mapping: guess } = book.look(head, {
    fileName: basename(file),
    today: localDate(Date.now()),
  });
  say(`Columns: ${columns.map((name, i) => `${i + 1} ${name}`).join(', ')}`);
  const mapping = withOptions(guess, options);
  const tried = await book.try(createReadStream(file), mapping);
  for (const line of triedLines(tried, mapping)) say(line);
  if (options.look) return;
  say(`Taken over: ${join(dataFolder, await book.take(createReadStream(file), mapping, basename(file)))}`);
}

async function headOf(path: string): Promise<Buffer> {
  try {
    const file = await open(path);
    try {
      const { buffer, bytesRead } = await file.read(Buffer.alloc(HEAD_BYTES), 0, HEAD_BYTES, 0);
      return buffer.subarray(0, bytesRead);
    } finally {
      await file.close();
    }
  } catch (cause) {
    throw new Error(`${path} cannot be read (${errorCode(cause)}).`, { cause });
  }
}

/** What was found, with what the user says in its place. */
function withOptions(guess: Mapping | null, options: ImportOptions): Mapping {
  const { name, zone, start, unit, dates, probes } = options;
  if (guess === null)
    throw new Error('No column of times and one of temperatures could be made out in this file.');
  const { time } = guess;
  if (time.kind === 'since' && start === undefined)
    throw new Error(
      'The times of this file count from its start: say when that was, with --start 2031-03-08T06:30.',
    );
  const parsed = mappingSchema.safeParse({
    ...guess,
    ...(name === undefined ? {} : { name }),
    ...(unit === undefined ? {} : { unit }),
    ...(probes === undefined ? {} : { probes: probesOf(probes) }),
    time: {
      ...time,
      ...(zone === undefined ? {} : { zone }),
      ...(start === undefined ? {} : { start: start.replace(' ', 'T') }),
      ...(dates === undefined ? {} : { order: dates }),
    },
  });
  if (parsed.success) return parsed.data;
  throw new Error(`This does not hold: ${z.prettifyError(parsed.error).replaceAll('\n', ' ')}`);
}

function probesOf(text: string): unknown[] {
  return text.split(',').map((part) => {
    const [, column, name, couple] = /^\s*(\d+)=([^:]+)(?::([BEJKNRST]))?\s*$/.exec(part) ?? [];
    if (column === undefined)
      throw new Error(
        'Give the columns by their number, with a name of a-z, 0-9 and -: 2=front-low,3=back:S.',
      );
    return { column: Number(column) - 1, name, couple: couple ?? null };
  });
}

function triedLines({ rows, from, to, probes, leftOut }: Tried, { unit }: Mapping): string[] {
  const temp = (tempC: number) => `${Math.round(unit === 'F' ? fFromC(tempC) : tempC)} °${unit}`;
  return [
    `${rows} readings from ${formatTime(from)} to ${formatTime(to)}.`,
    ...probes.map(({ name, leastC, mostC }) => `${name}: ${temp(leastC)} to ${temp(mostC)}`),
    leftOutSentence(leftOut) ?? 'Every row is taken as it stands.',
  ];
}
