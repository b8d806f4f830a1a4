/**
 * What crosses the WebSocket between the collector and the page, as JSON text. Temperatures in °C, times as whole
 * epoch milliseconds of firing time (which a demo or a replayed capture runs faster than the wall clock).
 *
 * Every message that belongs to the firing's record carries `n`, counted from 1 without gaps for one run of the
 * collector (`run`). A page that finds a gap, or comes back after a lost connection, asks with `since`; it gets what
 * it missed, or a fresh `welcome` where that is no longer kept.
 */
import { z } from 'zod';
import { ALERT_NAMES, ALERT_PRIORITIES } from './alert-names.ts';
import { boardFactsSchema } from './board-facts.ts';
import { activeAlertSchema, firingRecord, loggedEntrySchema } from './firing-record.ts';
import {
  forecastMessageSchema,
  readingMessageSchema,
  saltingMessageSchema,
  stokingMessageSchema,
} from './live-figures.ts';
import { STAGES } from './stages.ts';
import {
  phoneMessageSchema,
  pushMessageSchema,
  shownMessageSchema,
  testedMessageSchema,
  testMessageSchema,
  waysMessageSchema,
} from './ways.ts';

/** Raised when a message changes its meaning: a page of another version is told to load again. */
export const LIVE_VERSION = 3;

/** Where the page opens its WebSocket, on the host that served it; with several kilns behind the path of its kiln. */
export const LIVE_PATH = '/live';

/** Close code for a page of another version. */
export const OLD_PAGE = 4001;

/** What feeds a firing: a real board, the demo kiln, a capture that is played; or it was taken over from elsewhere. */
export const FIRING_SOURCES = ['board', 'demo', 'capture', 'import'] as const;

const n = z.number().int().positive();
const at = z.number().int();

const alertMessage = z.object({
  type: z.literal('alert'),
  n,
  at,
  /** `raised` once more where an answer was taken back; `changed`: shelved, suppressed, easing, or in other words. */
  state: z.enum(['raised', 'acknowledged', 'cleared', 'changed']),
  alert: activeAlertSchema,
});

const logMessage = z.object({ type: z.literal('log'), n, logged: loggedEntrySchema });

const stageMessage = z.object({ type: z.literal('stage'), n, at, from: z.enum(STAGES), to: z.enum(STAGES) });

/** How the link stands, in one word and one sentence a person can act on. */
const linkStanding = z.object({
  link: z.string(),
  state: z.enum(['connecting', 'open', 'silent', 'unplugged', 'finished']),
  text: z.string(),
  badLines: z.number().int().nonnegative(),
});

/** Another kiln of this collector: where its page is (a path on this host), and what calls for a person there. */
const otherKiln = z.object({
  kiln: z.string(),
  path: z.string(),
  alerts: z.array(
    z.object({
      id: z.string(),
      name: z.enum(ALERT_NAMES),
      priority: z.enum(ALERT_PRIORITIES),
      text: z.string(),
      acknowledged: z.boolean(),
    }),
  ),
});
export type OtherKiln = z.infer<typeof otherKiln>;

/** Sent every wall-clock second, unnumbered: what time it is at the kiln, when the last reading was, how the links stand. */
const beatMessage = z.object({
  type: z.literal('beat'),
  /** The newest numbered message: a page that has an older one asks for what it missed. */
  n: z.number().int().nonnegative(),
  now: at,
  lastReadingAt: at.nullable(),
  links: z.array(linkStanding),
  /** What this kiln is called, and the others, where the collector watches several. */
  kiln: z.string().nullable().optional(),
  others: z.array(otherKiln).optional(),
});

const welcomeMessage = z.object({
  type: z.literal('welcome'),
  version: z.number().int(),
  run: z.string(),
  n: z.number().int().nonnegative(),
  now: at,
  /** Firing seconds in a second of the wall clock. */
  clockRate: z.number().positive(),
  source: z.enum(FIRING_SOURCES),
  ...firingRecord,
  last: z.object({
    reading: readingMessageSchema.nullable(),
    forecast: forecastMessageSchema.nullable(),
    stoking: stokingMessageSchema.nullable().optional(),
    salting: saltingMessageSchema.nullable().optional(),
  }),
  links: z.array(linkStanding),
});

/**
 * Answer to a page's log entry: taken (its row follows as a `log` message), or why not in one sentence. A message that
 * could not be read at all is answered with the id that was found in it, or an empty one.
 */
const takenMessage = z.object({ type: z.literal('taken'), id: z.string(), refused: z.string().nullable() });

/** Answer to a page's `check`: what is known of each board now, and why its cable was not tried if it was not. */
const checkedMessage = z.object({
  type: z.literal('checked'),
  boards: z.array(boardFactsSchema),
  refused: z.string().nullable(),
});

export const collectorMessageSchema = z.discriminatedUnion('type', [
  welcomeMessage,
  readingMessageSchema,
  alertMessage,
  logMessage,
  stageMessage,
  forecastMessageSchema,
  stokingMessageSchema,
  saltingMessageSchema,
  beatMessage,
  takenMessage,
  checkedMessage,
  waysMessageSchema,
  testedMessageSchema,
]);
export type CollectorMessage = z.infer<typeof collectorMessageSchema>;
/** The messages that carry `n`. */
export type NumberedMessage = Extract<
  CollectorMessage,
  { type: 'reading' | 'alert' | 'log' | 'stage' | 'forecast' | 'stoking' | 'salting' }
>;
export type WelcomeMessage = z.infer<typeof welcomeMessage>;
export type LinkStanding = z.infer<typeof linkStanding>;

export const pageMessageSchema = z.discriminatedUnion('type', [
  /** First message of a page. `run` and `n`: what it has already, if it comes back. */
  z.object({
    type: z.literal('greet'),
    version: z.number().int(),
    run: z.string().nullable(),
    n: z.number().int().nonnegative(),
    width: z.number().int().min(100).max(10_000),
  }),
  /** A gap was seen: send again what came after `n`. */
  z.object({ type: z.literal('since'), n: z.number().int().nonnegative() }),
  phoneMessageSchema,
  pushMessageSchema,
  shownMessageSchema,
  testMessageSchema,
  /** How do the boards stand? Asked again while somebody looks. `cable`: shut this link first and open it again. */
  z.object({ type: z.literal('check'), cable: z.string().max(80).nullable() }),
  /** Something was done or seen. `entry.id` is made by the page; the same id twice is taken once. An ack names the alert's id. */
  z.object({
    type: z.literal('log'),
    entry: z.looseObject({ log: z.string().min(1).max(80), id: z.string().min(1).max(80) }),
  }),
]);
export type PageMessage = z.infer<typeof pageMessageSchema>;
