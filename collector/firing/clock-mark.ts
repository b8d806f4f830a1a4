/**
 * Where the firing's time stood on a clock of the computer that nobody can set: its uptime, which goes on from one start
 * of the collector to the next while the computer runs (Linux says which run of it that is). So a firing that is gone on
 * with keeps its time, whatever has become of the system's clock meanwhile.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { uptime } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';

const FILE = 'clock-mark.json';

const markSchema = z.object({
  /** Names the run of the computer. */
  run: z.string().min(1),
  uptimeMs: z.number(),
  /** Epoch ms of firing time. */
  firingMs: z.number(),
});

/** The computer's run and its uptime; `run` is null where the system does not name it. */
export interface Uptime {
  run(): Promise<string | null>;
  ms(): number;
}

export const systemUptime: Uptime = {
  run: () =>
    readFile('/proc/sys/kernel/random/boot_id', 'utf8').then(
      (text) => text.trim(),
      () => null,
    ),
  ms: () => uptime() * 1000,
};

/** Firing time now, as it goes on from the mark in `folder`; null without one of this run of the computer. */
export async function markedTime(folder: string, rate: number, clock = systemUptime): Promise<number | null> {
  const text = await readFile(join(folder, FILE), 'utf8').catch(() => '');
  const run = await clock.run();
  const mark = readMark(text);
  if (mark === null || mark.run !== run) return null;
  const goneMs = clock.ms() - mark.uptimeMs;
  return goneMs < 0 ? null : mark.firingMs + goneMs * rate;
}

/** Leaves the mark. Where it cannot be written the system's clock will have to do. */
export async function leaveMark(folder: string, firingMs: number, clock = systemUptime): Promise<void> {
  const run = await clock.run();
  if (run === null) return;
  const mark = JSON.stringify({ run, uptimeMs: clock.ms(), firingMs });
  await writeFile(join(folder, FILE), `${mark}\n`).catch(() => undefined);
}

function readMark(text: string): z.infer<typeof markSchema> | null {
  try {
    return markSchema.parse(JSON.parse(text));
  } catch {
    return null;
  }
}
