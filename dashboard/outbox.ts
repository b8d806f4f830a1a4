/**
 * What was pressed here and is not yet in the collector's log book. Kept in the browser, so that nothing is lost while
 * the connection is down or the page is closed. An undo carries the id of its target, so a pair of entries may share one.
 */
import { z } from 'zod';
import type { Entry } from './firing.ts';

const waitingSchema = z.object({
  /** The firing that it belongs to: an entry never lands in another one. */
  firing: z.string(),
  /** When it happened, epoch ms of firing time. */
  at: z.number(),
  entry: z.looseObject({ log: z.string(), id: z.string().min(1).max(80) }),
});
export const outboxSchema = z.array(waitingSchema);
export type Waiting = z.infer<typeof waitingSchema>;

/** Adds one. An undo of an entry that never left the page takes that entry away instead (`sent` names those that did). */
export function put(box: readonly Waiting[], one: Waiting, sent: ReadonlySet<string>): Waiting[] {
  const { log, id } = one.entry;
  const unsent = log === 'undo' && !sent.has(id) && box.some(({ entry }) => entry.id === id);
  return unsent ? box.filter(({ entry }) => entry.id !== id) : [...box, one];
}

/** The collector has answered for this id: the oldest entry of that id is done with. */
export function taken(box: readonly Waiting[], id: string): Waiting[] {
  const place = box.findIndex(({ entry }) => entry.id === id);
  return box.filter((_, index) => index !== place);
}

const text = (value: unknown) => (typeof value === 'string' ? value : '');

/** The log book with what is still on its way laid over it. */
export function withWaiting(
  log: readonly Omit<Entry, 'pending'>[],
  box: readonly Waiting[],
  firing: string,
): Entry[] {
  const mine = box.filter((one) => one.firing === firing);
  const undone = new Set(mine.filter(({ entry }) => entry.log === 'undo').map(({ entry }) => entry.id));
  const mended = new Set(mine.map(({ entry }) => entry.mends));
  const known = new Set(log.map(({ id }) => id));
  const standing = log.map((row) => ({
    ...row,
    undone: row.undone || undone.has(row.id) || mended.has(row.id),
    pending: false,
  }));
  const waiting = mine
    .filter(({ entry }) => entry.log !== 'undo' && !known.has(entry.id))
    .map(({ at, entry }, index) => {
      const { log: word, id, ...json } = entry;
      const row = {
        entry: log.length + index,
        id,
        at,
        madeAt: at,
        who: text(json.who),
        where: text(json.where),
        log: word,
        json,
      };
      return { ...row, undone: undone.has(id) || mended.has(id), pending: true };
    });
  return [...standing, ...waiting];
}
