/**
 * The live feed: takes what the core puts out and what was logged, keeps the firing's record, and makes the numbered
 * messages for the pages. It knows nothing of sockets: while a firing is recovered it is filled by the same functions
 * with nobody listening.
 */

import type { Hello } from '../../protocol/board-lines.ts';
import type { FiringFacts } from '../../protocol/firing-facts.ts';
import type { Curve, FiringSummary, LoggedEntry, RecordedFiring } from '../../protocol/firing-record.ts';
import {
  type CollectorMessage,
  LIVE_VERSION,
  type LinkStanding,
  type NumberedMessage,
  type OtherKiln,
  type WelcomeMessage,
} from '../../protocol/live-messages.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { Clock } from '../clock.ts';
import type { CoreOutput, KilnFigures, ProbeFigures, ReadingOutput } from '../core/inputs.ts';
import { type CurveWindow, curveOf, drawnC, gapAfterMs } from './curve.ts';
import { isAfterHole } from './holes.ts';
import { pageForecast } from './page-forecast.ts';
import { pageSalting } from './page-salting.ts';
import { pageStoking } from './page-stoking.ts';
import {
  type AlertNews,
  callsOf,
  type FiringName,
  factsOfRecord,
  newRecord,
  recordAlert,
  recordedView,
  recordHello,
  recordLog,
  recordReading,
  recordStage,
  recordStanding,
  summaryOf,
} from './record.ts';
import { bytesAfter, keepsAfter, messageOf, newRing, pushMessage, skipMessage } from './ring.ts';

const MAX_MESSAGES = 5000;
const MAX_MESSAGE_BYTES = 8_000_000;
/** Curves of the same width and state are made once, whoever asks. */
const MAX_CURVES = 8;

type WithoutN<M> = M extends NumberedMessage ? Omit<M, 'n'> : never;
type ReadingMessage = Extract<NumberedMessage, { type: 'reading' }>;
type ForecastMessage = Extract<NumberedMessage, { type: 'forecast' }>;
type StokingMessage = Extract<NumberedMessage, { type: 'stoking' }>;
type SaltingMessage = Extract<NumberedMessage, { type: 'salting' }>;

export interface FeedSettings {
  /** Names this run of the collector: a number of another run means nothing here. */
  run: string;
  clock: Clock;
  source: WelcomeMessage['source'];
  firing: FiringName;
  /** As in plan.json; a `plan` row of the log book takes its place. */
  plan: Plan;
  /** What the kiln is called, where the collector watches several. */
  kiln?: string | null;
}

export interface Feed {
  readonly run: string;
  readonly firingId: string;
  /** Takes one output of the core, live or while recovering. */
  publish(output: CoreOutput): void;
  /** Takes a row of the log book, in the order of the rows. */
  publishLog(logged: LoggedEntry): void;
  /** Takes a board's hello: the probes and how often they are read. New probes make every page load afresh. */
  noteHello(at: number, hello: Hello): void;
  /** How all links stand; goes out with the next beat. */
  setStanding(links: readonly LinkStanding[]): void;
  /** The other kilns of the collector, as they stand whenever asked. */
  setOthers(others: () => OtherKiln[]): void;
  /** What calls for a person here: for the pages of the other kilns. */
  calls(): OtherKiln['alerts'];
  /** Nothing more will come: the firing is over. */
  end(): void;
  /** Number of the newest message; 0 before the first. */
  newest(): number;
  /** The JSON bytes of message `n`; null if it is no longer kept, or not yet made. */
  message(n: number): Buffer | null;
  /** Whether everything after `n` can still be sent. */
  keepsAfter(n: number): boolean;
  bytesAfter(n: number): number;
  welcome(width: number): WelcomeMessage;
  beat(): Extract<CollectorMessage, { type: 'beat' }>;
  /** The firing as it stands: in a line, with its curve, and its curve alone. */
  summary(): FiringSummary;
  view(window: CurveWindow): RecordedFiring;
  curve(window: CurveWindow): Curve;
  /** The firing in figures, as far as it has come. */
  facts(): FiringFacts;
  /** Whether the log book has an entry of this id already (for an undo: one that undoes this id). */
  hasEntry(log: string, id: string): boolean;
  /** Calls after each message, and with `fresh` when pages must be welcomed anew; the answer ends it. */
  onNews(listener: (fresh: boolean) => void): () => void;
}

/** An empty feed for one firing. */
export function createFeed(settings: FeedSettings): Feed {
  const { run, clock, source, firing } = settings;
  const record = newRecord(firing, settings.plan);
  const ring = newRing(MAX_MESSAGES, MAX_MESSAGE_BYTES);
  const listeners = new Set<(fresh: boolean) => void>();
  const latest = new Map<string, { at: number; figures: ReadingMessage['probes'][number] }>();
  const entryIds = new Set<string>();
  const curves = new Map<string, Curve>();
  let curvesOf = -1;
  let links: LinkStanding[] = [];
  let others: (() => OtherKiln[]) | null = null;
  let lastReading: ReadingMessage | null = null;
  let lastForecast: ForecastMessage | null = null;
  let lastStoking: StokingMessage | null = null;
  let lastSalting: SaltingMessage | null = null;
  let ended = false;

  const tell = (fresh: boolean) => {
    for (const listener of listeners) listener(fresh);
  };
  function send<M extends WithoutN<NumberedMessage>>(message: M): M & { n: number } {
    const numbered = { ...message, n: ring.newest + 1 };
    // A page that comes later is welcomed with what has been by then: while a firing is recovered no text is made.
    if (listeners.size === 0) skipMessage(ring);
    else pushMessage(ring, Buffer.from(JSON.stringify(numbered)));
    tell(false);
    return numbered;
  }
  const sendAlert = (news: AlertNews) => send({ type: 'alert', ...news });

  function publishReading(output: ReadingOutput): void {
    const { at, late } = output.input;
    const probes = output.rows.map(pageFigures);
    const drawn = probes.map(({ probe, curveC, smoothC, cone }) => ({ probe, curveC, smoothC, cone }));
    // What the kiln was is said as a reading comes in: a late one does not know it.
    const of = output.input;
    recordReading(record, { at, of, kiln: late ? null : output.kiln, probes: drawn }, output.stage);
    const kiln = pageKiln(output.kiln);
    const torn = !late && isAfterHole(record.curve.holes, of.board) ? { torn: true } : {};
    const message = send({ type: 'reading', at, stage: output.stage, late, probes, kiln, ...torn });
    if (late) return;
    for (const figures of probes) latest.set(figures.probe, { at, figures });
    lastReading = message;
  }

  /** The last reading, joined by what the other boards' probes last said. */
  function lastOfAll(): ReadingMessage | null {
    if (!lastReading) return null;
    const { at } = lastReading;
    const probes = [...latest.values()].map((entry) =>
      at - entry.at <= gapAfterMs(record.curve, entry.figures.probe)
        ? entry.figures
        : { ...entry.figures, ...NO_FIGURES },
    );
    return { ...lastReading, probes };
  }

  function curve(window: CurveWindow): Curve {
    if (curvesOf !== record.curve.revision || curves.size >= MAX_CURVES) curves.clear();
    curvesOf = record.curve.revision;
    const key = `${window.from ?? ''} ${window.to ?? ''} ${window.width}`;
    const made = curves.get(key) ?? curveOf(record.curve, window);
    curves.set(key, made);
    return made;
  }
  const view = (window: CurveWindow) => recordedView(record, curve(window), ended);

  return {
    run,
    firingId: firing.id,
    publish(output) {
      if (output.kind === 'reading') {
        publishReading(output);
      } else if (output.kind === 'alert') {
        const news = recordAlert(record, output);
        if (news) sendAlert(news);
      } else if (output.kind === 'standing') {
        const news = recordStanding(record, output);
        if (news) sendAlert(news);
      } else if (output.kind === 'stage') {
        const { at, from, to } = output;
        recordStage(record, at, from, to);
        send({ type: 'stage', at, from, to });
      } else if (output.kind === 'stoking') {
        lastStoking = send({ type: 'stoking', ...pageStoking(output.stoking) });
      } else if (output.kind === 'salting') {
        lastSalting = send({ type: 'salting', ...pageSalting(output.salting) });
      } else {
        lastForecast = send({ type: 'forecast', ...pageForecast(output.forecast) });
      }
    },
    publishLog(logged) {
      entryIds.add(entryKey(logged.log, logged.id));
      // The record marks its own copy as undone later on.
      recordLog(record, { ...logged });
      send({ type: 'log', logged });
    },
    noteHello(at, hello) {
      if (recordHello(record, at, hello)) tell(true);
    },
    setStanding(standings) {
      links = [...standings];
    },
    setOthers(told) {
      others = told;
    },
    calls: () => callsOf(record),
    end() {
      ended = true;
      tell(true);
    },
    newest: () => ring.newest,
    message: (n) => messageOf(ring, n),
    keepsAfter: (n) => keepsAfter(ring, n),
    bytesAfter: (n) => bytesAfter(ring, n),
    welcome: (width) => ({
      type: 'welcome',
      version: LIVE_VERSION,
      run,
      n: ring.newest,
      now: Math.round(clock.now()),
      clockRate: clock.rate,
      source,
      ...view({ width }),
      last: { reading: lastOfAll(), forecast: lastForecast, stoking: lastStoking, salting: lastSalting },
      links,
    }),
    beat: () => ({
      type: 'beat',
      n: ring.newest,
      now: Math.round(clock.now()),
      lastReadingAt: lastReading?.at ?? null,
      links,
      ...(others === null ? {} : { kiln: settings.kiln ?? null, others: others() }),
    }),
    summary: () => summaryOf(record, ended),
    view,
    curve,
    facts: () => factsOfRecord(record),
    hasEntry: (log, id) => entryIds.has(entryKey(log, id)),
    onNews(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

/** The `id` of an undo is that of the entry it names, so the two are told apart. */
function entryKey(log: string, id: string): string {
  return log === 'undo' ? `undo ${id}` : `entry ${id}`;
}

const NO_FIGURES = {
  tempC: null,
  curveC: null,
  smoothC: null,
  climbCPerH: null,
  climbSdCPerH: null,
  note: null,
};

/** Thousandths: more is noise, and bytes on a weak radio link. */
function short(value: number | null): number | null {
  return value === null ? null : Math.round(value * 1000) / 1000;
}

function pageKiln({ smoothC, climbCPerH, climbSdCPerH }: KilnFigures) {
  return { smoothC: short(smoothC), climbCPerH: short(climbCPerH), climbSdCPerH: short(climbSdCPerH) };
}

function pageFigures(row: ProbeFigures) {
  const { probe, cone, fault, note } = row;
  const tempC = short(row.tempC);
  const coneShift = short(row.coneShift);
  return { probe, tempC, curveC: drawnC(tempC, row.flags), ...pageKiln(row), cone, coneShift, fault, note };
}
