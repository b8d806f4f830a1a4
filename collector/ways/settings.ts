/** The user's own settings of the ways: `ways.json` in the config folder. Its secrets never leave the collector. */
import { readFile } from 'node:fs/promises';
import { z } from 'zod';
import { CALLED_WAYS, type Ladder, USUAL_LADDER } from '../../alerts/ways/ladder.ts';
import { ALERT_PRIORITIES } from '../../protocol/alert-names.ts';
import { errorCode } from '../error-code.ts';

/** Half a day: beyond, nobody is waiting any more. */
const MOST_AFTER_MIN = 720;

const address = (protocol: RegExp, what: string) => z.url({ protocol, error: `It must be ${what}.` });

const minutesOf = z
  .strictObject(
    Object.fromEntries(
      ALERT_PRIORITIES.map((priority) => [priority, z.number().min(0).max(MOST_AFTER_MIN).nullable()]),
    ),
  )
  .partial();

const settingsSchema = z.strictObject({
  webhook: z
    .strictObject({
      url: address(/^https?$/, 'an http:// or https:// address'),
      secret: z.string().min(16, 'It must be 16 letters or more; any long made-up word does.').max(500),
      timeoutS: z.number().min(1).max(60).default(10),
    })
    .optional(),
  mqtt: z
    .strictObject({
      url: address(/^(mqtts?|wss?)$/, 'an mqtt://, mqtts://, ws:// or wss:// address'),
      username: z.string().max(200).optional(),
      password: z.string().max(500).optional(),
      base: z
        .string()
        .regex(/^[\w-]+(\/[\w-]+)*$/, 'It must be letters, digits and -, in levels parted by /.')
        .max(100)
        .default('spyhole'),
    })
    .optional(),
  mail: z
    .strictObject({
      smtp: address(/^smtps?$/, 'an smtp:// or smtps:// address, with name and password in it'),
      from: z.string().min(3).max(200),
      to: z.array(z.string().min(3).max(200)).min(1).max(20),
    })
    .optional(),
  loudspeaker: z
    .strictObject({
      on: z.boolean().default(true),
      /** A program and its arguments; the tone's file is added as the last one. */
      player: z.tuple([z.string().min(1)], z.string()).optional(),
    })
    .optional(),
  push: z
    .strictObject({
      contact: z.string().regex(/^(mailto:.+@.+|https:\/\/.+)$/, 'It must begin with mailto: or https://.'),
    })
    .optional(),
  /** Minutes after which a way is used that calls; null: never. */
  after: z
    .strictObject(Object.fromEntries(CALLED_WAYS.map((way) => [way, minutesOf])))
    .partial()
    .optional(),
});

export type WaysSettings = z.infer<typeof settingsSchema>;

/** A file that is not there sets nothing. Throws with one sentence where it cannot be read or does not hold. */
export async function readWaysSettings(path: string): Promise<WaysSettings> {
  let text: string;
  try {
    text = (await readFile(path, 'utf8')).replace(/^\ufeff/, '');
  } catch (cause) {
    // A home that is a file, or none, holds no settings either.
    if (['ENOENT', 'ENOTDIR'].includes(errorCode(cause) ?? '')) return {};
    throw new Error(`The ways ${path} cannot be read (${errorCode(cause)}).`);
  }
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    // What the parser says would quote the file, secrets and all.
    throw new Error(
      `The ways ${path} are no JSON: look for a comma or a quotation mark too many or too few.`,
    );
  }
  const parsed = settingsSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  const where = issue && issue.path.length > 0 ? issue.path.join('.') : 'the whole';
  throw new Error(`The ways ${path} do not hold: ${where}: ${issue?.message ?? 'unknown shape'}`);
}

/** The usual minutes, but for what the settings say. */
export function ladderOf({ after }: WaysSettings): Ladder {
  const of = (way: (typeof CALLED_WAYS)[number]) => ({ ...USUAL_LADDER[way], ...after?.[way] });
  return { push: of('push'), loudspeaker: of('loudspeaker'), mail: of('mail') };
}
