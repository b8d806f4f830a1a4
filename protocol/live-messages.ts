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
import { planSchema } from './plan.ts';
import { COUPLE_TYPES } from './probes.ts';
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

const figure = z.number().nullable();
const n = z.number().int().positive();
const at = z.number().int();

const probeFigures = z.object({
  probe: z.string(),
  tempC: figure,
  /** What the curve draws here: `tempC`, but null where the probe is dead, frozen, not believed or out of the kiln. */
  curveC: figure.optional(),
  smoothC: figure,
  climbCPerH: figure,
  climbSdCPerH: figure,
  cone: z.string().nullable(),
  /** How many cones more than computed, by the cones seen at its place; null where none was. */
  coneShift: figure.optional(),
  fault: z.string().nullable(),
  /** What is to be known of the probe that is no fault ('too cold for type B to read'), or null. */
  note: z.string().nullable().optional(),
});

const kilnFigures = z.object({ smoothC: figure, climbCPerH: figure, climbSdCPerH: figure });

/**
 * One reading of one board with its figures. A late one goes to the curve only. `torn`: readings before it are missing, so
 * no line leads to it.
 */
const readingMessage = z.object({
  type: z.literal('reading'),
  n,
  at,
  stage: z.enum(STAGES),
  late: z.boolean(),
  torn: z.boolean().optional(),
  probes: z.array(probeFigures),
  kiln: kilnFigures,
});

const activeAlert = z.object({
  /** Unique in the firing: `<name>/<probe or empty>/<raised at>`. */
  id: z.string(),
  name: z.enum(ALERT_NAMES),
  probe: z.string().nullable(),
  priority: z.enum(ALERT_PRIORITIES),
  raisedAt: at,
  /** What it says now, at most a minute old, and what it said when it was raised. */
  text: z.string(),
  raisedText: z.string().optional(),
  /**
   * Who has answered it, when, on which page or board, in which stage; `by` is the word of the entry that answered it by
   * itself (salt that went in). Null: nobody has.
   */
  acknowledged: z
    .object({
      at,
      who: z.string().nullable(),
      where: z.string().optional(),
      stage: z.enum(STAGES).optional(),
      by: z.string().nullable().optional(),
    })
    .nullable(),
  /** Put aside by a person until then: it calls nobody. */
  shelved: z.object({ at, until: at, who: z.string().nullable() }).nullable().optional(),
  /** The stage of the firing is none in which it has anything to say: it calls nobody. */
  suppressed: z.boolean().optional(),
});

const alertMessage = z.object({
  type: z.literal('alert'),
  n,
  at,
  /** `raised` once more where an answer was taken back; `changed`: shelved, suppressed, or in other words. */
  state: z.enum(['raised', 'acknowledged', 'cleared', 'changed']),
  alert: activeAlert,
});

/**
 * A log entry as it stands in the log book: `entry` is its row number, `replaces` the row that it takes the place of
 * (a mended time or text). An `undo` row names an id: the entry with that id is undone, and the page marks it so as the
 * `undo` arrives; a row that is replaced is marked in the same way.
 */
const loggedEntry = z.object({
  entry: z.number().int().nonnegative(),
  /** The id that its maker gave it; an undo names it. */
  id: z.string(),
  at,
  madeAt: at,
  who: z.string(),
  where: z.string(),
  log: z.string(),
  json: z.record(z.string(), z.unknown()),
  undone: z.boolean(),
  replaces: z.number().int().nonnegative().nullable().optional(),
});

const logMessage = z.object({ type: z.literal('log'), n, logged: loggedEntry });

const stageMessage = z.object({ type: z.literal('stage'), n, at, from: z.enum(STAGES), to: z.enum(STAGES) });

/** Milliseconds after `at`, with their 80 % interval; `high` is null where its end cannot be said. */
const span = z.object({ low: z.number(), mid: z.number(), high: z.number().nullable() });

/** The kiln's curve ahead with its 80 % interval, to draw as a fan: columns of equal length, ms after the fan's `at`, and °C. */
const fan = z.object({
  at,
  aheadMs: z.array(z.number()),
  lowC: z.array(z.number()),
  midC: z.array(z.number()),
  highC: z.array(z.number()),
});

/** What is ahead; each is null where it cannot be said. Sent once a firing minute. */
const forecastMessage = z.object({
  type: z.literal('forecast'),
  n,
  at,
  /** To salting heat. */
  toSaltingMs: span.nullable(),
  forecasts: z
    .object({
      /** To the plan's firing cone, by heat work. */
      cone: span.nullable(),
      nextStage: span.extend({ stage: z.enum(STAGES) }).nullable(),
      /** In cooling: until the hottest probe is below 400 °F (204.4 °C), and below the plan's unbricking temperature. */
      below400F: span.nullable(),
      unbrick: span.nullable(),
    })
    .optional(),
  fan: fan.nullable().optional(),
});

/**
 * The stoking and the wood, sent once a firing minute, and at once when the heat peaks or a stoke is known. What each figure
 * is stands in `collector/core/inputs.ts`.
 */
const stokingMessage = z.object({
  type: z.literal('stoking'),
  n,
  at,
  next: z
    .object({
      /** In milliseconds after `at`. */
      dueInMs: z.object({ low: z.number(), mid: z.number(), high: z.number() }),
      peaked: z.boolean(),
      hole: z.enum(['left', 'right']).nullable(),
    })
    .nullable(),
  gain: z
    .object({
      perStokeC: z.number(),
      leftC: figure,
      rightC: figure,
      trend: z.enum(['less', 'more', 'same']),
      moreBringsLess: z.boolean(),
    })
    .nullable(),
  fuel: z
    .object({
      stokes: z.number().int(),
      seenOnly: z.boolean(),
      spread: z.boolean(),
      inKg: figure,
      kgPerFaceCord: z.number(),
      heatMJ: figure,
      leftKg: figure,
      kgPerH: figure,
      climbCPerFaceCord: figure,
      conesPerFaceCord: figure,
      lastsMs: figure,
      toEndMs: figure,
    })
    .nullable(),
});

/**
 * The salt, sent while it goes in four times a minute, and at once when something was logged. What each figure is stands in
 * `collector/core/salting-facts.ts`.
 */
const lotHeat = z.object({
  beganAt: at,
  peakC: z.number(),
  lowC: z.number(),
  nowC: z.number(),
  shortC: z.number(),
});

const saltingMessage = z.object({
  type: z.literal('salting'),
  n,
  at,
  count: z.object({
    inKg: z.number(),
    toGoKg: z.number(),
    byHoleKg: z.object({ left: z.number(), right: z.number() }),
    charges: z.number().int(),
    next: z.enum(['left', 'right']).nullable(),
    paceKgPerH: figure,
    plannedKgPerH: z.number(),
    lastAt: at.nullable(),
    lots: z.array(at),
    draws: z.object({
      pulled: z.number().int(),
      due: z.number().int(),
      of: z.number().int(),
      nextAtKg: figure,
      say: z.enum(['nothing', 'more', 'nearly', 'enough', 'too-much']),
    }),
    hclAtMostKg: z.number(),
  }),
  heat: lotHeat.nullable(),
  earlier: z.array(lotHeat).default([]),
  say: z.enum(['not-yet', 'unknown', 'go', 'small', 'wait', 'cold', 'hot', 'all-in', 'over']),
});

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

/**
 * The curve so far, thinned by least and greatest a bucket to what a screen can show. Columns of equal length; a gap
 * is a row of nulls.
 */
export const curveSchema = z.object({
  at: z.array(at),
  kiln: z.array(figure),
  kilnClimbCPerH: z.array(figure),
  /** Standard deviation of that climb. */
  kilnClimbSdCPerH: z.array(figure),
  probes: z.array(z.object({ probe: z.string(), tempC: z.array(figure) })),
});

export const firingSummarySchema = z.object({
  /** The folder's name, `2031-03-08-spring`. */
  id: z.string(),
  name: z.string(),
  startedAt: at.nullable(),
  endedAt: at.nullable(),
  topC: figure,
  running: z.boolean(),
});

const stageSpan = z.object({ from: at, stage: z.enum(STAGES) });

const firingRecord = {
  firing: firingSummarySchema,
  probes: z.array(z.object({ name: z.string(), couple: z.enum(COUPLE_TYPES) })),
  /** The plan that the firing began with; changes of it stand in the log. */
  firstPlan: planSchema,
  curve: curveSchema,
  stages: z.array(stageSpan),
  /** The cone by heat work that each probe has reached, by its name on the page; none of one that has reached no cone. */
  cones: z.array(z.object({ probe: z.string(), cone: z.string() })).optional(),
  log: z.array(loggedEntry),
  /** Every alert raised in this firing, with when it cleared, and why. */
  alerts: z.array(
    z.object({ alert: activeAlert, clearedAt: at.nullable(), clearedText: z.string().optional() }),
  ),
};

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
    reading: readingMessage.nullable(),
    forecast: forecastMessage.nullable(),
    stoking: stokingMessage.nullable().optional(),
    salting: saltingMessage.nullable().optional(),
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
  readingMessage,
  alertMessage,
  logMessage,
  stageMessage,
  forecastMessage,
  stokingMessage,
  saltingMessage,
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
export type LoggedEntry = z.infer<typeof loggedEntry>;
export type ActiveAlert = z.infer<typeof activeAlert>;
export type LinkStanding = z.infer<typeof linkStanding>;
export type Curve = z.infer<typeof curveSchema>;
export type FiringSummary = z.infer<typeof firingSummarySchema>;
export type StageSpan = z.infer<typeof stageSpan>;

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

/** GET /api/firings. `making`: the demo makes up past firings, and more will come. */
export const firingListSchema = z.object({
  firings: z.array(firingSummarySchema),
  making: z.boolean().optional(),
});

/**
 * GET /api/firings/<id>/alerts: what called in a firing, oldest first: why, who answered when and where, why it ended.
 * `around`: the stretch of the curve to look at beside it; GET /api/firings/<id>/curve?from=…&to=… gives it.
 */
export const alertHistorySchema = z.object({
  alerts: z.array(
    z.object({
      alert: activeAlert,
      clearedAt: at.nullable(),
      clearedText: z.string().optional(),
      around: z.object({ from: at, to: at }),
    }),
  ),
});
export type AlertHistory = z.infer<typeof alertHistorySchema>;

/**
 * GET /api/firings/<id>?width=W: a whole firing as it was recorded, for replay; the running one as it stands. With
 * `&from=MS&to=MS` (either may be left out) the curve is that stretch alone, thinned for the width: for a closer look.
 * GET /api/firings/<id>/curve with the same query gives the curve only.
 */
export const recordedFiringSchema = z.object(firingRecord);
export type RecordedFiring = z.infer<typeof recordedFiringSchema>;
