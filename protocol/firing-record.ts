/**
 * A firing as it is recorded: in the `welcome` of the live feed, and in the answers under `/api/firings`. Temperatures in
 * °C, times as whole epoch milliseconds.
 */
import { z } from 'zod';
import { ALERT_NAMES, ALERT_PRIORITIES } from './alert-names.ts';
import { planSchema } from './plan.ts';
import { COUPLE_TYPES } from './probes.ts';
import { STAGES } from './stages.ts';

const figure = z.number().nullable();
const at = z.number().int();

export const activeAlertSchema = z.object({
  /** Unique in the firing: `<name>/<probe or empty>/<raised at>`. */
  id: z.string(),
  name: z.enum(ALERT_NAMES),
  probe: z.string().nullable(),
  priority: z.enum(ALERT_PRIORITIES),
  raisedAt: at,
  /** What it said last while its condition held (renewed each minute), and what it said when it was raised. */
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
  /** What raised it is over, and it waits to see whether that lasts before it clears: it calls nobody. */
  easing: z.boolean().optional(),
});

/**
 * A log entry as it stands in the log book: `entry` is its row number, `replaces` the row that it takes the place of
 * (a mended time or text). An `undo` row names an id: the entry with that id is undone, and the page marks it so as the
 * `undo` arrives; a row that is replaced is marked in the same way.
 */
export const loggedEntrySchema = z.object({
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

export const firingRecord = {
  firing: firingSummarySchema,
  probes: z.array(z.object({ name: z.string(), couple: z.enum(COUPLE_TYPES) })),
  /** The plan that the firing began with; changes of it stand in the log. */
  firstPlan: planSchema,
  curve: curveSchema,
  stages: z.array(stageSpan),
  /** The cone by heat work that each probe has reached, by its name on the page; none of one that has reached no cone. */
  cones: z.array(z.object({ probe: z.string(), cone: z.string() })).optional(),
  log: z.array(loggedEntrySchema),
  /** Every alert raised in this firing, with when it cleared, and why. */
  alerts: z.array(
    z.object({ alert: activeAlertSchema, clearedAt: at.nullable(), clearedText: z.string().optional() }),
  ),
};

export type LoggedEntry = z.infer<typeof loggedEntrySchema>;
export type ActiveAlert = z.infer<typeof activeAlertSchema>;
export type Curve = z.infer<typeof curveSchema>;
export type FiringSummary = z.infer<typeof firingSummarySchema>;
export type StageSpan = z.infer<typeof stageSpan>;

/** Whether an alert that stands calls nobody for now, though nobody has answered it. */
export function isPutOff({ shelved, suppressed, easing }: ActiveAlert): boolean {
  return Boolean(shelved) || suppressed === true || easing === true;
}

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
      alert: activeAlertSchema,
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
