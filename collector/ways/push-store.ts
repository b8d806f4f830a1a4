/** What push must remember: the server's own keys (VAPID, RFC 8292) and which phones have subscribed. For this user alone. */
import { readFile, rename, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import webPush from 'web-push';
import { z } from 'zod';
import { type Subscription, subscriptionSchema } from '../../protocol/ways.ts';
import { makeFolders } from '../archive/make-folders.ts';
import { errorCode } from '../error-code.ts';

/** More phones than stand around any kiln. */
const MOST_PHONES = 50;

const storeSchema = z.object({
  vapid: z.object({ publicKey: z.string().min(80), privateKey: z.string().min(40) }),
  /** By the id of the phone. */
  phones: z.record(z.string(), subscriptionSchema),
});

export interface PushStore {
  readonly vapid: { publicKey: string; privateKey: string };
  phones(): ReadonlyMap<string, Subscription>;
  /** Null takes the phone out. Rejects with one sentence if it cannot be kept, or there are too many. */
  put(phone: string, subscription: Subscription | null): Promise<void>;
}

/**
 * Reads the file, or makes one with new keys. A file that does not hold is put aside, since phones can subscribe again.
 * `say` is told what went wrong, in a sentence.
 */
export async function openPushStore(path: string, say: (text: string) => void): Promise<PushStore> {
  const kept = await readStore(path, say);
  const vapid = kept?.vapid ?? webPush.generateVAPIDKeys();
  const phones = new Map(Object.entries(kept?.phones ?? {}));
  const write = async () => {
    await makeFolders(dirname(path), 0o700);
    const text = JSON.stringify({ vapid, phones: Object.fromEntries(phones) }, null, 2);
    await writeFile(`${path}.new`, `${text}\n`, { mode: 0o600 });
    await rename(`${path}.new`, path);
  };
  let writing = Promise.resolve();
  const keep = () => {
    writing = writing.then(write, write);
    return writing;
  };
  if (kept === null)
    await keep().catch((cause) =>
      say(
        `Push keys cannot be kept in ${path} (${errorCode(cause)}): phones must subscribe again after each start.`,
      ),
    );
  return {
    vapid,
    phones: () => phones,
    async put(phone, subscription) {
      if (subscription === null) phones.delete(phone);
      else if (phones.size >= MOST_PHONES && !phones.has(phone))
        throw new Error(
          `There are ${MOST_PHONES} phones already: take push off one that is not used any more.`,
        );
      else phones.set(phone, subscription);
      await keep().catch((cause) => {
        throw new Error(`The phone cannot be remembered in ${path} (${errorCode(cause)}).`);
      });
    },
  };
}

async function readStore(path: string, say: (text: string) => void) {
  const text = await readFile(path, 'utf8').catch(() => null);
  if (text === null) return null;
  try {
    return storeSchema.parse(JSON.parse(text));
  } catch {
    say(`${path} cannot be read and is put aside as ${path}.bad: phones must subscribe to push again.`);
    await rename(path, `${path}.bad`).catch(() => undefined);
    return null;
  }
}
