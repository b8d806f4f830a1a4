/**
 * The radio, by way of a library that `spyhole setup-bluetooth` installs into a folder of its own. It is not there when
 * Spyhole is built or tested, so nothing of it is imported: what it gives is checked as it comes.
 */
import { EventEmitter } from 'node:events';
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { z } from 'zod';
import {
  type Gatt,
  type GattAnswer,
  type GattListener,
  type GattTarget,
  type GattTrouble,
  sameUuid,
  writeBytesOf,
} from './gatt.ts';

/** What setup-bluetooth installs. Pinned: its newest may be another. dbus-next speaks to the system's own Bluetooth on Linux. */
export const BLUETOOTH_PACKAGES = ['@stoprocent/noble@2.8.0', 'dbus-next@0.10.2'] as const;
const LIBRARY = '@stoprocent/noble';

const READY_MS = 8_000;
const LOOK_MS = 25_000;
/** No packet of the library's own takes longer; a hung one is given up. */
const STEP_MS = 15_000;
const SYSTEM_BUS = '/var/run/dbus/system_bus_socket';

const method = z.custom<(...args: unknown[]) => Promise<unknown>>((value) => typeof value === 'function');
const emitter = z.custom<EventEmitter>((value) => value instanceof EventEmitter);
const libraryShape = z.looseObject({
  state: z.string(),
  startScanningAsync: method,
  stopScanningAsync: method,
});
const peripheralShape = z.looseObject({
  id: z.string(),
  address: z.string().nullish(),
  advertisement: z.looseObject({ localName: z.string().nullish() }).nullish(),
  connectAsync: method,
  disconnectAsync: method,
  discoverServicesAsync: method,
});
const serviceShape = z.looseObject({ uuid: z.string(), discoverCharacteristicsAsync: method });
const characteristicShape = z.looseObject({
  uuid: z.string(),
  properties: z.array(z.string()),
  subscribeAsync: method,
  writeAsync: method,
});

const NOT_INSTALLED =
  "Bluetooth low energy needs a library that is not there: run 'npm start -- setup-bluetooth' once, and start again.";

/**
 * Loads the library out of `folder`. Throws with one clear sentence where it is not there or cannot be used. Nothing is
 * started yet: whether there is a radio shows at the first try to connect.
 */
export function loadGatt(folder: string, platform: string = process.platform): Gatt {
  const load = createRequire(join(folder, 'package.json'));
  // The system's own Bluetooth service, which needs no rights of root; the library asks for it by this name.
  if (platform === 'linux') process.env.NOBLE_BINDINGS ??= 'dbus';
  let library: unknown;
  try {
    library = load(LIBRARY);
  } catch (cause) {
    const missing = cause instanceof Error && Reflect.get(cause, 'code') === 'MODULE_NOT_FOUND';
    if (missing) throw new Error(NOT_INSTALLED);
    throw new Error(
      `The Bluetooth library cannot be loaded (${cause instanceof Error ? cause.message.split('\n')[0] : String(cause)}): run 'npm start -- setup-bluetooth' again.`,
    );
  }
  const hasBus = platform !== 'linux' || process.env.NOBLE_BINDINGS !== 'dbus' || existsSync(busPath());
  return nobleGatt(library, hasBus);
}

function busPath(): string {
  return /^unix:path=([^,;]+)/.exec(process.env.DBUS_SYSTEM_BUS_ADDRESS ?? '')?.[1] ?? SYSTEM_BUS;
}

/** The library as a radio. `hasBus`: what it speaks through is there; without it, it would end the program. */
export function nobleGatt(library: unknown, hasBus: boolean): Gatt {
  return {
    connect: async (target, listener, signal) => {
      if (!hasBus) return { ok: false, why: 'no-adapter', detail: 'no Bluetooth service' };
      try {
        return await connect(library, target, listener, signal);
      } catch (cause) {
        return {
          ok: false,
          why: troubleOf(cause),
          detail: cause instanceof Error ? cause.message : String(cause),
        };
      }
    },
    rest: () => {
      const stop = z.looseObject({ stop: z.custom<() => void>((value) => typeof value === 'function') });
      const there = stop.safeParse(library);
      try {
        if (there.success) there.data.stop.call(library);
      } catch {
        // It had never begun.
      }
    },
  };
}

/** An error of the system or the library, by its words. */
function troubleOf(cause: unknown): GattTrouble {
  const message = cause instanceof Error ? cause.message : String(cause);
  if (/AccessDenied|not permitted|EPERM|EACCES|unauthori[sz]ed/i.test(message)) return 'forbidden';
  if (/NotReady|powered ?off/i.test(message)) return 'switched-off';
  return 'failed';
}

const STATES: Record<string, GattTrouble> = {
  poweredOff: 'switched-off',
  unauthorized: 'forbidden',
  unsupported: 'no-adapter',
  unknown: 'no-adapter',
  resetting: 'failed',
};

async function connect(
  library: unknown,
  target: GattTarget,
  listener: GattListener,
  signal: AbortSignal,
): Promise<GattAnswer> {
  const events = emitter.parse(library);
  const state = await readyState(events, signal);
  if (state !== 'poweredOn') return { ok: false, why: STATES[state] ?? 'failed', detail: state };
  const peripheral = await look(events, target, signal);
  if (peripheral === null) return { ok: false, why: 'not-heard', detail: target.device };
  const heard = peripheralShape.parse(peripheral);
  const device = emitter.parse(peripheral);
  let open = true;
  const gone = () => {
    if (!open) return;
    open = false;
    listener.gone();
  };
  const close = async () => {
    open = false;
    device.off('disconnect', gone);
    await within(heard.disconnectAsync.call(peripheral)).catch(() => undefined);
  };
  device.once('disconnect', gone);
  try {
    await within(heard.connectAsync.call(peripheral));
    // Nobody may wait for it any more: to connect has taken its time.
    const found = signal.aborted
      ? 'failed'
      : await subscribe(peripheral, target, (bytes) => {
          if (open) listener.data(bytes);
        });
    if (typeof found === 'string') {
      await close();
      return { ok: false, why: found, detail: target.service };
    }
    const { write } = found;
    const mtu = () =>
      z
        .number()
        .nullable()
        .catch(null)
        .parse(Reflect.get(peripheral as object, 'mtu'));
    return {
      ok: true,
      connection: { isOpen: () => open, writeBytes: () => writeBytesOf(mtu()), write, close },
    };
  } catch (cause) {
    await close();
    throw cause;
  }
}

/** Waits until the library knows how its adapter stands. */
async function readyState(events: EventEmitter, signal: AbortSignal): Promise<string> {
  const now = () => libraryShape.parse(events).state;
  quiet(events);
  if (now() === 'poweredOn') return 'poweredOn';
  // It tells each change: off may be followed by on in a moment, so the last word counts.
  await waitFor(events, 'stateChange', () => (now() === 'poweredOn' ? true : null), READY_MS, signal);
  return now();
}

/** Errors of what the library speaks through would end the program, for it listens to none of them. */
function quiet(events: EventEmitter): void {
  // Asking for the state starts the library.
  libraryShape.parse(events);
  const bindings: unknown = Reflect.get(events, '_bindings');
  const bus: unknown =
    typeof bindings === 'object' && bindings !== null ? Reflect.get(bindings, '_bus') : null;
  for (const source of [events, bindings, bus])
    if (source instanceof EventEmitter && source.listenerCount('error') === 0)
      source.on('error', () => undefined);
}

async function look(events: EventEmitter, target: GattTarget, signal: AbortSignal): Promise<unknown> {
  const { startScanningAsync, stopScanningAsync } = libraryShape.parse(events);
  // All that is heard, and not by service: many boards do not advertise theirs.
  const heard = waitFor(events, 'discover', (found) => (isIt(found, target) ? found : null), LOOK_MS, signal);
  await within(startScanningAsync.call(events, [], true));
  try {
    return await heard;
  } finally {
    await within(stopScanningAsync.call(events)).catch(() => undefined);
  }
}

const bareAddress = (text: string) => text.replace(/[:-]/g, '').toLowerCase();

function isIt(found: unknown, { device }: GattTarget): boolean {
  const parsed = peripheralShape.safeParse(found);
  if (!parsed.success) return false;
  const { id, address, advertisement } = parsed.data;
  if (advertisement?.localName === device) return true;
  return [id, address ?? ''].some((own) => own !== '' && bareAddress(own) === bareAddress(device));
}

async function subscribe(
  peripheral: unknown,
  target: GattTarget,
  data: (bytes: Uint8Array) => void,
): Promise<{ write: (bytes: Uint8Array) => Promise<void> } | GattTrouble> {
  const { discoverServicesAsync } = peripheralShape.parse(peripheral);
  const services = z.array(z.unknown()).parse(await within(discoverServicesAsync.call(peripheral, [])));
  const service = services.find((one) => sameUuid(serviceShape.parse(one).uuid, target.service));
  if (service === undefined) return 'no-service';
  const { discoverCharacteristicsAsync } = serviceShape.parse(service);
  const all = z.array(z.unknown()).parse(await within(discoverCharacteristicsAsync.call(service, [])));
  const named = (uuid: string) => all.find((one) => sameUuid(characteristicShape.parse(one).uuid, uuid));
  const notifying = named(target.notify);
  if (notifying === undefined) return 'no-notify';
  const writing = named(target.write);
  if (writing === undefined) return 'no-write';
  emitter.parse(notifying).on('data', (bytes: unknown) => {
    if (bytes instanceof Uint8Array) data(bytes);
  });
  await within(characteristicShape.parse(notifying).subscribeAsync.call(notifying));
  const { properties, writeAsync } = characteristicShape.parse(writing);
  // With an answer where the board gives one: then nothing is lost on the way.
  const withoutAnswer = !properties.includes('write');
  return {
    write: async (bytes) => {
      await within(writeAsync.call(writing, Buffer.from(bytes), withoutAnswer));
    },
  };
}

/** The first event for which `pick` gives something; null after `ms` or once `signal` aborts. */
function waitFor<T>(
  events: EventEmitter,
  name: string,
  pick: (value: unknown) => T | null,
  ms: number,
  signal: AbortSignal,
): Promise<T | null> {
  return new Promise((resolve) => {
    const end = (value: T | null) => {
      clearTimeout(timer);
      events.off(name, hear);
      signal.removeEventListener('abort', stop);
      resolve(value);
    };
    const hear = (value: unknown) => {
      const picked = pick(value);
      if (picked !== null) end(picked);
    };
    const stop = () => end(null);
    const timer = setTimeout(stop, ms);
    events.on(name, hear);
    signal.addEventListener('abort', stop);
    if (signal.aborted) stop();
  });
}

/** Rejects if a step of the library takes too long: some of them never settle once the board has gone. */
function within<T>(step: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error('no answer')), STEP_MS);
  });
  return Promise.race([step, late]).finally(() => clearTimeout(timer));
}
