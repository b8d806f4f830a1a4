/** Where a board over Bluetooth low energy is: from the command line, what is left out there from the settings file. */
import { readFile } from 'node:fs/promises';
import { z } from 'zod';
import { errorCode } from '../error-code.ts';
import { type GattTarget, uuidOf } from '../links/gatt.ts';

const uuid = z.string().transform((text, context) => {
  const bare = uuidOf(text);
  if (bare !== null) return bare;
  context.addIssue({ code: 'custom', message: 'is no UUID' });
  return z.NEVER;
});

const settingsSchema = z.object({
  device: z.string().trim().min(1).max(80).optional(),
  service: uuid.optional(),
  notify: uuid.optional(),
  write: uuid.optional(),
});

/** As given on the command line. */
export interface BleOptions {
  /** Name or address; `true`: as in the settings. */
  ble?: string | true;
  bleService?: string;
  bleNotify?: string;
  bleWrite?: string;
}

const NAMES = {
  device: '--ble',
  service: '--ble-service',
  notify: '--ble-notify',
  write: '--ble-write',
} as const;

/**
 * The whole of it. Throws with one sentence where something is missing or no UUID. `settingsPath`: a JSON file with
 * `device`, `service`, `notify` and `write`, all optional.
 */
export async function bleTarget(options: BleOptions, settingsPath: string): Promise<GattTarget> {
  const { device, service, notify, write } = await knownTarget(options, settingsPath);
  if (device === undefined || service === undefined || notify === undefined || write === undefined) {
    const missing = Object.entries({ device, service, notify, write }).filter(
      ([, value]) => value === undefined,
    );
    const names = missing.map(([name]) => NAMES[name as keyof typeof NAMES]).join(', ');
    throw new Error(
      `Say where the board is over Bluetooth low energy: ${names} (its maker tells the UUIDs), or write it down in ${settingsPath}.`,
    );
  }
  return { device, service, notify, write };
}

/** The line alone, for a browser that looks for the board itself; null where not all of it is known. */
export async function bleLine(
  options: BleOptions,
  settingsPath: string,
): Promise<Omit<GattTarget, 'device'> | null> {
  const { service, notify, write } = await knownTarget(options, settingsPath);
  return service === undefined || notify === undefined || write === undefined
    ? null
    : { service, notify, write };
}

async function knownTarget(options: BleOptions, settingsPath: string) {
  const { ble, bleService, bleNotify, bleWrite } = options;
  const kept = await readSettings(settingsPath);
  const given = settingsSchema.safeParse({
    ...(typeof ble === 'string' ? { device: ble } : {}),
    ...(bleService === undefined ? {} : { service: bleService }),
    ...(bleNotify === undefined ? {} : { notify: bleNotify }),
    ...(bleWrite === undefined ? {} : { write: bleWrite }),
  });
  if (!given.success)
    throw new Error(
      `${whereOf(given.error)} is no UUID: it has 32 hex digits, with hyphens or without, or 4.`,
    );
  return { ...kept, ...given.data };
}

function whereOf(error: z.ZodError): string {
  const name = String(error.issues[0]?.path[0] ?? '');
  return name in NAMES ? NAMES[name as keyof typeof NAMES] : 'It';
}

async function readSettings(path: string): Promise<z.infer<typeof settingsSchema>> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (cause) {
    if (errorCode(cause) === 'ENOENT') return {};
    throw new Error(`${path} cannot be read (${errorCode(cause)}): mend it or take it away.`);
  }
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new Error(`${path} is no JSON: mend it or take it away.`);
  }
  const parsed = settingsSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const issue = parsed.error.issues[0];
  throw new Error(`${path}: ${issue?.path.join('.') || 'the whole'}: ${issue?.message ?? 'not understood'}.`);
}
