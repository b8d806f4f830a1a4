/**
 * The inputs of the core out of the archive, in the order in which they were taken live, so that after a crash the core
 * stands where it stood.
 *
 * Readings come by `arrival`, log entries by `entry`. The two are merged by time: a reading that was on time stands at
 * its `at`, a log entry at its `made_at`, and at equal times the entry comes first. A late reading stands directly
 * behind the on-time reading before it, so before every entry made after that one. A hello comes before the readings of
 * its board and boot whatever their times say, for without it they could not have been named.
 */
import { join } from 'node:path';
import { z } from 'zod';
import { ALERT_NAMES, ALERT_PRIORITIES } from '../../protocol/alert-names.ts';
import { type Hello, parseBoardLine } from '../../protocol/board-lines.ts';
import { parseCaptureLine } from '../../protocol/capture.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import type { AlertOutput, CoreInput, ReadingInput } from '../core/inputs.ts';
import { lastLines } from './lines.ts';
import { helloSchema } from './plan-file.ts';
import { type OnBroken, readLog, readReadings } from './read.ts';
import { type LogRow, type ReadingRow, sameReading } from './rows.ts';

const bootOf = ({ board, boot }: { board: string; boot: string }) => `${board} ${boot}`;

/** What a row of log.csv was to the core; null for what the core says itself. */
function inputOf(row: LogRow, onBroken: OnBroken): CoreInput | null {
  if (row.log === 'alert' || row.log === 'trouble') return null;
  const at = row.madeAt;
  const hello = row.log === 'hello' ? helloSchema.safeParse(row.json).data : undefined;
  if (hello) return { kind: 'hello', at, hello };
  const log = row.log === 'hello' ? null : parseLogEntry({ log: row.log, ...row.json });
  if (log) return { kind: 'log', at, log };
  // The header is line 1.
  onBroken({ file: 'log.csv', line: row.entry + 2, text: `It is no entry of the kind ${row.log}.` });
  return null;
}

function newReading({ at, board, boot, seq, uptimeMs, coldJunctionC, late }: ReadingRow): ReadingInput {
  return { kind: 'reading', at, board, boot, seq, uptimeMs, coldJunctionC, values: [], late };
}

/** The readings of readings.csv, each made whole from its rows. */
async function* readingsOf(folder: string, onBroken: OnBroken): AsyncGenerator<ReadingInput[]> {
  let open: ReadingInput | null = null;
  for await (const rows of readReadings(folder, onBroken)) {
    const done: ReadingInput[] = [];
    for (const row of rows) {
      if (open === null || !sameReading(row, open)) {
        if (open !== null) done.push(open);
        open = newReading(row);
      }
      open.values.push({ probe: row.probe, raw: row.raw });
    }
    yield done;
  }
  if (open !== null) yield [open];
}

/** How much of link.capture is looked through for the last reading. */
const CAPTURE_TAIL_BYTES = 1 << 20;

/**
 * The last reading, where a torn end has left only some of its rows, with the values that link.capture still has for
 * it; as it is if nothing there is sure to be the same reading.
 */
async function completed(folder: string, reading: ReadingInput, hello: Hello): Promise<ReadingInput> {
  if (reading.values.length >= hello.probes.length) return reading;
  const lines = await lastLines(join(folder, 'link.capture'), CAPTURE_TAIL_BYTES).catch(() =>
    Buffer.alloc(0),
  );
  for (const text of lines.toString('utf8').split('\n').reverse()) {
    const record = parseCaptureLine(text);
    const parsed = record?.direction === '<' ? parseBoardLine(record.text) : null;
    if (!parsed?.ok || parsed.line.kind !== 'reading') continue;
    const { seq, uptimeMs, coldJunctionC, values } = parsed.line;
    if (seq !== reading.seq || uptimeMs !== reading.uptimeMs || coldJunctionC !== reading.coldJunctionC)
      continue;
    if (values.length !== hello.probes.length) continue;
    const whole = hello.probes.map(({ name }, i) => ({ probe: name, raw: values[i] ?? null }));
    const fits = reading.values.every(({ probe, raw }) =>
      whole.some((value) => value.probe === probe && value.raw === raw),
    );
    if (fits) return { ...reading, values: whole };
  }
  return reading;
}

/** The log entries that wait for their place among the readings. */
function entryQueue(inputs: CoreInput[]) {
  /** Where the first hello of each board and boot stands. */
  const helloPlaces = new Map<string, number>();
  const hellos = new Map<string, Hello>();
  for (const [place, input] of inputs.entries()) {
    if (input.kind === 'hello' && !helloPlaces.has(bootOf(input.hello)))
      helloPlaces.set(bootOf(input.hello), place);
  }
  let next = 0;
  function take(): CoreInput[] {
    const input = inputs[next];
    if (input === undefined) return [];
    next += 1;
    if (input.kind === 'hello') hellos.set(bootOf(input.hello), input.hello);
    return [input];
  }
  return {
    /** Those that come before `reading`, which stands at `atMs`. */
    before(reading: ReadingInput, atMs: number): CoreInput[] {
      const taken: CoreInput[] = [];
      const helloPlace = helloPlaces.get(bootOf(reading)) ?? -1;
      while (next < inputs.length && (next <= helloPlace || (inputs[next]?.at ?? 0) <= atMs))
        taken.push(...take());
      return taken;
    },
    rest(): CoreInput[] {
      return inputs.slice(next);
    },
    /** The last hello of the reading's board and boot so far. */
    helloOf: (reading: ReadingInput) => hellos.get(bootOf(reading)),
  };
}

/**
 * The core's inputs of a firing, some hundreds at a time. Alerts and what the archive said of itself are left out: the
 * core says them again. Never throws for what stands in the files.
 */
export async function* recoveredInputs(
  folder: string,
  onBroken: OnBroken = () => undefined,
): AsyncGenerator<CoreInput[]> {
  const rows = await readLog(folder, onBroken);
  const queue = entryQueue(rows.flatMap((row) => inputOf(row, onBroken) ?? []));
  // A late reading is older than the on-time one before it, and so stands directly behind that.
  let latestMs = Number.NEGATIVE_INFINITY;
  const place = (reading: ReadingInput): CoreInput[] => {
    latestMs = Math.max(latestMs, reading.at);
    return [...queue.before(reading, latestMs), reading];
  };
  // The last reading waits, since only of the last some rows may be missing.
  let last: ReadingInput | null = null;
  for await (const readings of readingsOf(folder, onBroken)) {
    const due: ReadingInput[] = last === null ? readings : [last, ...readings];
    last = due.pop() ?? null;
    yield due.flatMap(place);
  }
  if (last !== null) {
    const [reading, before] = [last, place(last).slice(0, -1)];
    const hello = queue.helloOf(reading);
    yield [...before, hello ? await completed(folder, reading, hello) : reading];
  }
  yield queue.rest();
}

const alertJson = z.object({
  name: z.enum(ALERT_NAMES),
  state: z.enum(['raised', 'cleared']),
  probe: z.string().nullable(),
  priority: z.enum(ALERT_PRIORITIES),
  text: z.string(),
});

/**
 * The alerts that stand in log.csv, in order. When the recovered inputs have gone through the core, those of its alerts
 * that are not among these (by name, probe, state and time) are new: they were lost with a torn end, and are to be
 * appended. `archive-trouble` and `phone-silent` never come out of recovery, since their causes are not among the inputs.
 */
export async function recordedAlerts(folder: string): Promise<AlertOutput[]> {
  const rows = await readLog(folder);
  return rows.flatMap((row) => {
    const alert = row.log === 'alert' ? alertJson.safeParse(row.json).data : undefined;
    return alert ? [{ kind: 'alert' as const, at: row.at, ...alert }] : [];
  });
}
