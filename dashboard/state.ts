/** The page's one reducer: what it knew, and what came, to what it knows. Reads no clock and touches nothing. */
import type {
  CollectorMessage,
  LinkStanding,
  NumberedMessage,
  OtherKiln,
  WelcomeMessage,
} from '../protocol/live-messages.ts';
import { LIVE_VERSION } from '../protocol/live-messages.ts';
import {
  type Firing,
  NO_KILN,
  type Reading,
  silentProbe,
  withAlert,
  withLogged,
  withReading,
  withStage,
} from './firing.ts';
import { put, taken, type Waiting } from './outbox.ts';

export type Standing = 'connecting' | 'open' | 'lost' | 'old-page';

export interface PageState {
  firing: Firing | null;
  /** The collector's run, and the newest numbered message of it that is in `firing`. */
  run: string | null;
  n: number;
  /** A gap was seen: what came after `n` must be asked for. */
  behind: boolean;
  clock: {
    rate: number;
    source: WelcomeMessage['source'];
    /** Firing time as last told, and the wall's time when it was told. */
    now: number;
    toldAtWallMs: number;
  } | null;
  links: LinkStanding[];
  /** What this kiln is called, and the others, where the collector watches several. */
  kiln: string | null;
  others: readonly OtherKiln[];
  /** Times between the last few readings, ms of firing time. */
  intervalsMs: readonly number[];
  standing: Standing;
  /** When anything was last heard from the collector, wall ms; before the first word, when the page began. */
  heardAtWallMs: number;
  /** The wall's time now, on a timer. */
  wallMs: number;
  outbox: Waiting[];
  /** Ids that have left the page at least once. */
  sent: ReadonlySet<string>;
  refusals: { id: string; text: string }[];
  /** What was pressed here in the last ten seconds, and may be taken back. */
  fresh: { waiting: Waiting; saidAtWallMs: number }[];
  /** How the boards stood when they were last asked about. */
  checked: Extract<CollectorMessage, { type: 'checked' }> | null;
  /** The ways in which the collector can call somebody, as last told; and how the last trial of each ended. */
  ways: Extract<CollectorMessage, { type: 'ways' }> | null;
  tried: Extract<CollectorMessage, { type: 'tested' }>[];
  /** Messages that could not be read. */
  garbled: number;
}

export type PageEvent =
  | { kind: 'message'; message: CollectorMessage; wallMs: number }
  | { kind: 'garbled' }
  /** What was known when the page was last open, `agoMs` before now; it counts until the collector itself is heard. */
  | { kind: 'kept'; welcome: WelcomeMessage; kiln: string | null; agoMs: number; wallMs: number }
  | { kind: 'standing'; standing: Standing; wallMs: number }
  | { kind: 'tick'; wallMs: number }
  /** `restores`: what was mended stands as before, and is not to be taken back once more. */
  | { kind: 'said'; waiting: Waiting; wallMs: number; restores?: boolean }
  | { kind: 'sent'; ids: string[] }
  | { kind: 'dropped'; firing: string }
  | { kind: 'refusal-read'; id: string };

/** A page that has heard nothing yet, with what waits from an earlier visit. */
export function newPage(wallMs: number, outbox: Waiting[]): PageState {
  return {
    firing: null,
    run: null,
    n: 0,
    behind: false,
    clock: null,
    links: [],
    kiln: null,
    others: [],
    intervalsMs: [],
    standing: 'connecting',
    heardAtWallMs: wallMs,
    wallMs,
    outbox,
    sent: new Set(),
    refusals: [],
    fresh: [],
    checked: null,
    ways: null,
    tried: [],
    garbled: 0,
  };
}

/** Next state. Any order of events gives a state; a message that does not fit is left out and asked for again. */
export function reduce(state: PageState, event: PageEvent): PageState {
  switch (event.kind) {
    case 'message':
      return heard({ ...state, heardAtWallMs: event.wallMs, wallMs: event.wallMs }, event.message);
    case 'kept':
      return state.firing === null ? withKept(state, event) : state;
    case 'garbled':
      return { ...state, garbled: state.garbled + 1 };
    case 'standing':
      return { ...state, standing: event.standing, wallMs: event.wallMs };
    case 'tick':
      return ticked(state, Math.max(state.wallMs, event.wallMs));
    case 'said':
      return said(state, event.waiting, event.wallMs, event.restores === true);
    case 'sent':
      return { ...state, sent: new Set([...state.sent, ...event.ids]) };
    case 'dropped':
      return { ...state, outbox: state.outbox.filter(({ firing }) => firing !== event.firing) };
    case 'refusal-read':
      return { ...state, refusals: state.refusals.filter(({ id }) => id !== event.id) };
  }
}

/** How long an entry may be taken back, wall ms. */
export const UNDO_FOR_MS = 10_000;
/** Answers to alerts, and undoing itself, are not things that one takes back. */
const NOT_UNDONE = new Set(['ack', 'undo']);

function ticked(state: PageState, wallMs: number): PageState {
  const fresh = state.fresh.filter(({ saidAtWallMs }) => wallMs - saidAtWallMs < UNDO_FOR_MS);
  return { ...state, wallMs, fresh };
}

function said(state: PageState, waiting: Waiting, wallMs: number, restores: boolean): PageState {
  const { id, log, mends } = waiting.entry;
  const others = state.fresh.filter(({ waiting: { entry } }) => entry.id !== id && entry.id !== mends);
  const fresh = NOT_UNDONE.has(log) || restores ? others : [...others, { waiting, saidAtWallMs: wallMs }];
  return { ...state, outbox: put(state.outbox, waiting, state.sent), fresh };
}

function heard(state: PageState, message: CollectorMessage): PageState {
  switch (message.type) {
    case 'welcome':
      return welcomed(state, message);
    case 'beat':
      return {
        ...state,
        clock: state.clock && { ...state.clock, now: message.now, toldAtWallMs: state.wallMs },
        links: message.links,
        kiln: message.kiln ?? null,
        others: message.others ?? [],
        firing: state.firing && { ...state.firing, lastReadingAt: message.lastReadingAt },
        behind: state.behind || (state.firing !== null && message.n > state.n),
      };
    case 'taken': {
      const outbox = taken(state.outbox, message.id);
      const refusal = message.refused === null ? [] : [{ id: message.id, text: message.refused }];
      return { ...state, outbox, refusals: [...state.refusals, ...refusal] };
    }
    case 'ways':
      return { ...state, ways: message };
    case 'tested':
      return { ...state, tried: [...state.tried.filter(({ way }) => way !== message.way), message] };
    case 'checked':
      // A refusal stands until the cable is tried anew.
      return {
        ...state,
        checked: { ...message, refused: message.refused ?? state.checked?.refused ?? null },
      };
    default:
      return numbered(state, message);
  }
}

/** A message of the record: only the very next one is taken, an older one is known, a later one shows a gap. */
function numbered(state: PageState, message: NumberedMessage): PageState {
  if (!state.firing || message.n <= state.n) return state;
  if (message.n > state.n + 1) return { ...state, behind: true };
  const next = { ...state, n: message.n, behind: false };
  switch (message.type) {
    case 'reading':
      return message.late
        ? next
        : { ...next, firing: withReading(state.firing, message), ...pace(state, message) };
    case 'alert': {
      const clearedAt = message.state === 'cleared' ? message.at : null;
      return { ...next, firing: withAlert(state.firing, { alert: message.alert, clearedAt }) };
    }
    case 'log':
      return { ...next, firing: withLogged(state.firing, message.logged) };
    case 'stage':
      return { ...next, firing: withStage(state.firing, { from: message.at, stage: message.to }) };
    case 'forecast':
      return { ...next, firing: { ...state.firing, forecast: message } };
    case 'stoking':
      return { ...next, firing: { ...state.firing, stoking: message } };
    case 'salting':
      return { ...next, firing: { ...state.firing, saltHeat: message.heat, earlierLots: message.earlier } };
  }
}

/** So many intervals between readings are remembered: one gap among them does not move their median. */
const REMEMBERED_INTERVALS = 7;

function pace(state: PageState, reading: Reading): Pick<PageState, 'intervalsMs'> {
  const before = state.firing?.lastReadingAt;
  if (before === null || before === undefined || reading.at <= before)
    return { intervalsMs: state.intervalsMs };
  return { intervalsMs: [...state.intervalsMs, reading.at - before].slice(-REMEMBERED_INTERVALS) };
}

function welcomed(state: PageState, message: WelcomeMessage): PageState {
  if (message.version !== LIVE_VERSION) return { ...state, standing: 'old-page' };
  const cones = new Map(state.firing?.probes.map(({ name, cone }) => [name, cone]));
  const sameFiring = state.firing?.summary.id === message.firing.id;
  const base: Firing = {
    summary: message.firing,
    firstPlan: message.firstPlan,
    plan: message.firstPlan,
    probes: message.probes.map(({ name, couple }) => ({
      ...silentProbe(name, couple),
      cone: sameFiring ? (cones.get(name) ?? null) : null,
    })),
    kiln: NO_KILN,
    stage: message.stages.at(-1)?.stage ?? 'before',
    stages: message.stages,
    log: [],
    alerts: message.alerts,
    forecast: message.last.forecast,
    stoking: message.last.stoking ?? null,
    saltHeat: message.last.salting?.heat ?? null,
    earlierLots: message.last.salting?.earlier ?? [],
    lastReadingAt: null,
  };
  const logged = message.log.reduce(withLogged, base);
  const firing = message.last.reading ? withReading(logged, message.last.reading) : logged;
  return {
    ...state,
    firing,
    run: message.run,
    n: message.n,
    behind: false,
    clock: { rate: message.clockRate, source: message.source, now: message.now, toldAtWallMs: state.wallMs },
    links: message.links,
    intervalsMs: sameFiring ? state.intervalsMs : [],
  };
}

/** As it stood then, with the time that has gone by; of no run, so that the collector tells all of it anew. */
function withKept(state: PageState, kept: Extract<PageEvent, { kind: 'kept' }>): PageState {
  const known = welcomed({ ...state, wallMs: kept.wallMs }, kept.welcome);
  const heardAtWallMs = kept.wallMs - kept.agoMs;
  // A kiln that is played does not go on while nobody plays it.
  const goesOn = known.clock?.source === 'board';
  return {
    ...known,
    run: null,
    n: 0,
    kiln: kept.kiln,
    heardAtWallMs,
    clock: known.clock && { ...known.clock, toldAtWallMs: goesOn ? heardAtWallMs : kept.wallMs },
  };
}
