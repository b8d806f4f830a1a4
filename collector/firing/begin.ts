/** Begins a firing, or picks up the one that was running when the collector stopped. */
import { basename } from 'node:path';
import type { AlertName } from '../../protocol/alert-names.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import { defaultPlan, type Plan } from '../../protocol/plan.ts';
import type { Archive } from '../archive/archive.ts';
import { readLog, readPlan } from '../archive/read.ts';
import { recordedAlerts, recoveredInputs } from '../archive/recover.ts';
import type { LogRow, PlanFile } from '../archive/rows.ts';
import { createFiring, openExisting } from '../archive/write.ts';
import type { Clock } from '../clock.ts';
import type { AlertOutput, CoreInput } from '../core/inputs.ts';
import type { FiringState } from '../core/state.ts';
import { createFeed, type Feed } from '../server/feed.ts';
import { rowInBook } from '../server/recorded.ts';
import { type Beginning, freshBeginning, relive } from './beginning.ts';
import { newGuard } from './guard.ts';
import { alertRow } from './own-rows.ts';
import { noteEntry } from './watch-book.ts';

export interface FiringSettings {
  clock: Clock;
  dataFolder: string;
  plan: Plan;
  source: PlanFile['source'];
  /** Null, or left out, for the only one. */
  kiln?: string | null;
  /** Names this run of the collector. */
  run: string;
  onTrouble: (text: string | null) => void;
  say: (text: string) => void;
}

export interface Firing {
  archive: Archive;
  feed: Feed;
  beginning: Beginning;
  startedAt: number;
  /** The plan that is still to be logged as the first entry; null in a firing that was picked up and has it. */
  newPlan: Plan | null;
}

export async function newFiringOnDisk(settings: FiringSettings): Promise<Firing> {
  const { clock, dataFolder, plan, source, kiln = null, run, onTrouble } = settings;
  const startedAt = Math.floor(clock.now());
  const archive = await createFiring({ dataFolder, name: plan.name, startedAt, plan, source, onTrouble });
  const feed = createFeed({
    run,
    clock,
    source,
    kiln,
    firing: { id: archive.id, name: plan.name, startedAt },
    plan,
  });
  return { archive, feed, beginning: freshBeginning(clock), startedAt, newPlan: plan };
}

/**
 * Goes on with a firing: torn ends are mended, everything recorded goes through the core again, and what the core says
 * that the log had lost is added to it. Rejects with one sentence if it cannot be read.
 */
export async function pickUpFiring(settings: FiringSettings, folder: string): Promise<Firing> {
  const { clock, source, kiln = null, run, onTrouble, say } = settings;
  const archive = await openExisting(folder, { onTrouble });
  const planFile = await readPlan(folder);
  const plan = planFile?.plan ?? defaultPlan();
  const startedAt = planFile?.startedAt ?? Math.floor(clock.now());
  const feed = createFeed({
    run,
    clock,
    source,
    kiln,
    firing: { id: basename(folder), name: plan.name, startedAt },
    plan,
  });
  const beginning = freshBeginning(clock);
  const alerts = await recordedAlerts(folder);
  const recorded = new Set(alerts.map(alertKey));
  const guard = newGuard(say);
  const log = await readLog(folder);
  for (const hello of lostHellos(log, planFile))
    guard(() => relive(beginning, { kind: 'hello', at: startedAt, hello }, feed));
  let broken = 0;
  for await (const inputs of recoveredInputs(folder, () => {
    broken += 1;
  })) {
    for (const input of inputs) guard(() => reliveOne(beginning, input, feed, recorded, archive));
  }
  for (const output of leftUp(alerts, beginning.pipeline.core)) archive.log(alertRow(output));
  let planLogged = false;
  for (const row of log) {
    planLogged ||= row.log === 'plan';
    const shown = rowInBook(row);
    if (shown === null) continue;
    if (row.log !== 'undo') noteEntry(beginning.entries, shown.id, row.entry, row.replaces);
    feed.publishLog(shown);
  }
  if (broken > 0) say(`${broken} rows of ${folder} cannot be read and were left out.`);
  return {
    archive,
    feed,
    beginning,
    startedAt,
    newPlan: planLogged ? null : plan,
  };
}

/** Boards of which the log says nothing (it was deleted, say): their readings can be named by plan.json all the same. */
function lostHellos(log: LogRow[], planFile: PlanFile | null): Hello[] {
  const logged = new Set(log.flatMap((row) => (row.log === 'hello' ? [row.json.board] : [])));
  return (planFile?.boards ?? []).filter(({ board }) => !logged.has(board));
}

/** What a torn end took from the archive (an alert, a probe of the last reading) is added to it again. */
function reliveOne(
  beginning: Beginning,
  input: CoreInput,
  feed: Feed,
  recorded: Set<string>,
  archive: Archive,
): void {
  for (const output of relive(beginning, input, feed)) {
    if (output.kind === 'reading') archive.complete(output);
    else if (output.kind === 'alert' && !recorded.has(alertKey(output))) archive.log(alertRow(output));
  }
}

/**
 * What stood when the collector stopped and is not found again in what was recorded, for its cause is none of the inputs:
 * it has come to its end. If it goes on it is raised anew.
 */
function leftUp(recorded: readonly AlertOutput[], { now, standings }: FiringState): AlertOutput[] {
  const last = new Map<string, AlertOutput>();
  for (const alert of recorded) last.set(`${alert.name}/${alert.probe ?? ''}`, alert);
  return [...last].flatMap(([key, alert]): AlertOutput[] => {
    if (alert.state !== 'raised' || !OF_NO_INPUT.has(alert.name)) return [];
    if (standings.alerts.get(key)?.returnedAt === null) return [];
    const at = Math.max(alert.at, now ?? alert.at);
    return [{ ...alert, at, state: 'cleared', text: 'The collector was stopped, and started again.' }];
  });
}

/** Alerts whose cause no archive has. */
const OF_NO_INPUT: ReadonlySet<AlertName> = new Set(['archive-trouble', 'phone-silent']);

function alertKey({ name, probe, state, at }: AlertOutput): string {
  return `${name}/${probe ?? ''}/${state}/${at}`;
}
