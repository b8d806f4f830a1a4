/** The live page's machinery: connection, outbox, alarm and timers around the store. No view in it. */
import { z } from 'zod';
import {
  collectorMessageSchema,
  LIVE_PATH,
  LIVE_VERSION,
  type PageMessage,
} from '../protocol/live-messages.ts';
import { formatTime } from '../protocol/times.ts';
import type { Way } from '../protocol/ways.ts';
import { dueSound, type Sounded } from './alarm.ts';
import { type Awake, makeAwake } from './awake.ts';
import { type Connection, keepConnected, type Socket } from './connection.ts';
import { standingAlerts } from './firing.ts';
import { firingNow, freshnessOf } from './freshness.ts';
import { kilnPath } from './here.ts';
import { browserStorage, recall, remember } from './keep.ts';
import { keep as keepKnown, keptOf, recallKept } from './kept.ts';
import { type Bridge, openBridge } from './link/bridge.ts';
import { knownSerial } from './link/serial-port.ts';
import { liveMoment } from './moment.ts';
import { outboxSchema, type Waiting, withWaiting } from './outbox.ts';
import { startWorker } from './own-worker.ts';
import { makePush, type Push } from './push.ts';
import { makeSounder, type Sounder } from './sound.ts';
import { newPage, type PageState } from './state.ts';
import { createStore, type Store } from './store.ts';
import { writeThisPhone } from './this-phone.ts';
import { wallFrom } from './wall.ts';
import { SAY, SPOKEN_HERE } from './words.ts';

// Compiled schemas would need `eval`, which the page's content security policy forbids.
z.config({ jitless: true });

export interface Page {
  /** What this phone is called in the log book. */
  here: string;
  store: Store;
  sounder: Sounder;
  awake: Awake;
  push: Push;
  /** What reads the board here and hands it on; made at the first call. */
  bridge(): Bridge;
  /** Whether it was made, and reads a board. */
  readsBoard(): boolean;
  /** Writes an entry down: at once here, and at the collector as soon as it is heard. `at`: when it happened, epoch ms, if not now. */
  say(entry: { log: string } & Record<string, unknown>): void;
  /** Asks how the boards stand; `cable`: has this link shut and opened again first. */
  check(cable: string | null): void;
  /** Lets the collector try one of its ways; how it ended comes as `tried`. */
  tryWay(way: Way): void;
  /** Takes an entry out of the log book by its id. */
  undo(id: string): void;
  /** Takes back what was pressed just now: an entry, or a mending, and then what was there before takes its place again. */
  takeBack(id: string): void;
  /** Lets the page sound, from within a touch; what stands unanswered is heard at once. */
  letItSound(): Promise<void>;
  /** Drops what waits for another firing. */
  throwAway(firing: string): void;
  /** False once the browser has refused to keep what waits. */
  keeps(): boolean;
}

const ASK_AGAIN_MS = 2_000;
/** The collector takes a phone for silent after a minute. */
const PHONE_EVERY_MS = 10_000;
/** What is known is kept so often, and when the page is put away. */
const KEEP_EVERY_MS = 30_000;

/** Starts it all. `who` is asked at each entry. */
export function startPage(who: () => string): Page {
  const wall = wallFrom(
    () => performance.now(),
    () => Date.now(),
  );
  const storage = browserStorage();
  // Kilns of one collector share the browser's store, and their firings may have the same name.
  const outboxName = `outbox${kilnPath(location.pathname)}`;
  const kept = recall<Waiting[]>(storage, outboxName, outboxSchema, []);
  const store = createStore(newPage(wall(), kept), (delayMs, fn) => setTimeout(fn, delayMs));
  const changed = () => store.dispatch({ kind: 'tick', wallMs: wall() });
  const sounder = makeSounder(changed);
  const awake = makeAwake(changed);
  let sounded: Sounded = new Map();
  let onItsWay = new Set<Waiting>();
  let askedAtMs = Number.NEGATIVE_INFINITY;
  let keeps = true;
  const phone = recall(storage, 'phone', z.string().min(1).max(80), '') || newId();
  remember(storage, 'phone', phone);
  let phoneTold = false;
  let writtenWho: string | null = null;

  const tell = (message: PageMessage) => connection.send(JSON.stringify(message));
  const push = makePush({
    registration: startWorker(),
    tell: (subscription) => tell({ type: 'push', id: phone, subscription }),
    changed,
  });
  let pushTold = false;

  /** Sounds what is due; tells whether anything was. */
  const ring = (): boolean => {
    const state = store.get();
    const moment = liveMoment(state);
    const alerts = moment === null ? [] : standingAlerts(moment.firing, moment.log);
    const { quietForMs } = freshnessOf(state);
    const due = dueSound(sounded, { alerts, others: state.others, quietForMs, wallMs: wall() });
    sounded = due.sounded;
    if (due.sound) sounder.play(due.sound);
    return due.sound !== null;
  };

  const askForMissing = () => {
    const { behind, n, wallMs } = store.get();
    if (!behind || wallMs - askedAtMs < ASK_AGAIN_MS) return;
    if (tell({ type: 'since', n })) askedAtMs = wallMs;
  };

  /** Hands over what waits for this firing and has not been handed to this socket yet. */
  const deliver = () => {
    const { outbox, firing } = store.get();
    const ready = outbox.filter((one) => one.firing === firing?.summary.id && !onItsWay.has(one));
    const gone = ready.filter((one) => tell({ type: 'log', entry: one.entry }));
    for (const one of gone) onItsWay.add(one);
    if (gone.length > 0) store.dispatch({ kind: 'sent', ids: gone.map(({ entry }) => entry.id) });
  };

  const keep = () => {
    keeps = remember(storage, outboxName, store.get().outbox);
  };

  const hear = (text: string) => {
    const message = readMessage(text);
    if (!message) return store.dispatch({ kind: 'garbled' });
    if (message.type === 'taken' && message.id === phone) return push.answered(message.refused);
    if (message.type === 'ways' && !pushTold) {
      pushTold = true;
      void push.renew(message.pushKey);
    }
    store.dispatch({ kind: 'message', message, wallMs: wall() });
    if (message.type === 'taken') keep();
    askForMissing();
    deliver();
    ring();
  };

  const connection: Connection = keepConnected({
    dial: () => new WebSocket(liveAddress()) as Socket,
    after: (delayMs, fn) => {
      const timer = setTimeout(fn, delayMs);
      return () => clearTimeout(timer);
    },
    chance: Math.random,
    greeting: () => {
      const { run, n } = store.get();
      const width = Math.round(Math.min(10_000, Math.max(100, window.innerWidth)));
      const greet: PageMessage = { type: 'greet', version: LIVE_VERSION, run, n, width };
      return JSON.stringify(greet);
    },
    heard: hear,
    standing: (standing) => {
      if (standing !== 'open') {
        onItsWay = new Set();
        pushTold = false;
      }
      store.dispatch({ kind: 'standing', standing, wallMs: wall() });
    },
  });

  /** Says which phone this is while it may sound, so that its silence is noticed; once more when it may no longer. */
  const beatPhone = () => {
    const called = who().trim();
    if (called !== writtenWho)
      void writeThisPhone({ id: phone, who: called, where: phoneName(phone), ...SPOKEN_HERE });
    writtenWho = called;
    const armed = armedHere(sounder, awake, push);
    if (armed.length === 0 && !phoneTold) return;
    const name = called.slice(0, 40) || SAY.somePhone;
    phoneTold = tell({ type: 'phone', id: phone, name, armed }) && armed.length > 0;
  };

  setInterval(() => {
    store.dispatch({ kind: 'tick', wallMs: wall() });
    askForMissing();
    ring();
  }, 1000);
  setInterval(beatPhone, PHONE_EVERY_MS);
  beatPhone();
  window.addEventListener('online', () => connection.retryNow());

  const path = kilnPath(location.pathname);
  const keepWhatIsKnown = () => {
    const state = store.get();
    // Nothing new: what was kept before says the same.
    if (state.run === null) return;
    const known = keptOf(state, store.columns(), Date.now() - (wall() - state.heardAtWallMs));
    if (known) void keepKnown(path, known).catch(() => undefined);
  };
  void recallKept(path).then((known) => {
    if (known === null) return;
    const { welcome, kiln } = known;
    const agoMs = Math.max(0, Date.now() - known.heardAt);
    store.dispatch({ kind: 'kept', welcome, kiln, agoMs, wallMs: wall() });
  });
  setInterval(keepWhatIsKnown, KEEP_EVERY_MS);
  document.addEventListener('visibilitychange', () => {
    store.dispatch({ kind: 'tick', wallMs: wall() });
    if (document.hidden) keepWhatIsKnown();
    else connection.retryNow();
  });

  let bridge: Bridge | null = null;
  const theBridge = (): Bridge => {
    bridge ??= openBridge({
      kilnPath: path,
      phone,
      name: () => [who().trim(), phoneName(phone)].filter((part) => part !== '').join(', '),
      changed() {
        remember(storage, 'reads board', bridge !== null && bridge.state().port !== 'none');
        changed();
      },
    });
    return bridge;
  };
  // A page that was loaded anew goes on reading.
  if (recall(storage, 'reads board', z.boolean(), false))
    void knownSerial()
      .then((port) => port && theBridge().take(port))
      .catch(() => undefined);

  const put = (waiting: Waiting, restores = false) => {
    store.dispatch({ kind: 'said', waiting, wallMs: wall(), restores });
    keep();
    deliver();
    sounder.play('press');
  };

  const undo = (id: string) => {
    const state = store.get();
    const now = firingNow({ clock: state.clock, wallMs: wall() });
    if (!state.firing || now === null) return;
    const at = Math.round(now);
    put({ firing: state.firing.summary.id, at, entry: { log: 'undo', id, at: formatTime(at) } });
  };

  return {
    here: phoneName(phone),
    store,
    sounder,
    awake,
    push,
    bridge: theBridge,
    readsBoard: () => bridge !== null && bridge.state().port !== 'none',
    check: (cable) => void tell({ type: 'check', cable }),
    tryWay: (way) => void tell({ type: 'test', id: newId(), way }),
    say(entry) {
      const state = store.get();
      const now = firingNow({ clock: state.clock, wallMs: wall() });
      if (!state.firing || now === null) return;
      const at = Math.round(typeof entry.at === 'number' ? entry.at : now);
      const name = who().trim();
      const signed = name === '' ? {} : { who: name };
      // What is mended stays its maker's.
      const made = { ...signed, where: phoneName(phone), ...(entry.mends === undefined ? {} : entry) };
      const whole = { ...entry, ...made, id: newId(), at: formatTime(at) };
      put({ firing: state.firing.summary.id, at, entry: whole });
    },
    undo,
    takeBack(id) {
      const state = store.get();
      const before = mendedBy(state, id);
      if (before === null || !state.sent.has(id) || !state.firing) return undo(id);
      const { log, json, at } = before;
      const entry = { ...json, log, id: newId(), at: formatTime(at), mends: id };
      put({ firing: state.firing.summary.id, at, entry }, true);
    },
    async letItSound() {
      await sounder.arm();
      sounded = new Map();
      beatPhone();
      // Nothing stands: one note, so that one hears how loud it is.
      if (!ring()) sounder.play('note');
    },
    throwAway(firing) {
      store.dispatch({ kind: 'dropped', firing });
      keep();
    },
    keeps: () => keeps,
  };
}

/** What stood before the mending of this id that was made here just now; null where there is none. */
function mendedBy(state: PageState, id: string) {
  const mends = state.fresh.find(({ waiting }) => waiting.entry.id === id)?.waiting.entry.mends;
  const log = state.firing && withWaiting(state.firing.log, state.outbox, state.firing.summary.id);
  return (mends !== undefined && log?.find((row) => row.id === mends)) || null;
}

function readMessage(text: string) {
  try {
    const parsed = collectorMessageSchema.safeParse(JSON.parse(text));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}

function liveAddress(): string {
  const scheme = location.protocol === 'https:' ? 'wss:' : 'ws:';
  return `${scheme}//${location.host}${kilnPath(location.pathname)}${LIVE_PATH}`;
}

/** By what this phone can wake somebody now. */
function armedHere(
  sounder: Sounder,
  awake: Awake,
  push: Push,
): Extract<PageMessage, { type: 'phone' }>['armed'] {
  const pushed = push.standing() === 'on' ? (['push'] as const) : [];
  if (!sounder.armed()) return [...pushed];
  return [
    'sound',
    ...(typeof navigator.vibrate === 'function' ? (['vibration'] as const) : []),
    ...(awake.standing() === 'on' ? (['screen'] as const) : []),
    ...pushed,
  ];
}

/** `phone 3f9a`: short enough to read, and long enough to tell the phones at one kiln apart. */
function phoneName(phone: string): string {
  return `phone ${phone.slice(-4)}`;
}

function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return `page-${Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('')}`;
}
