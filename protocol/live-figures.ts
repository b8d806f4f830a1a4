/**
 * The figures that cross the live feed: readings, what is ahead, the stoking and the salt. Temperatures in °C, times as whole
 * epoch milliseconds of firing time; `n` as `live-messages.ts` says.
 */
import { z } from 'zod';
import { STAGES } from './stages.ts';

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
export const readingMessageSchema = z.object({
  type: z.literal('reading'),
  n,
  at,
  stage: z.enum(STAGES),
  late: z.boolean(),
  torn: z.boolean().optional(),
  probes: z.array(probeFigures),
  kiln: kilnFigures,
});

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
export const forecastMessageSchema = z.object({
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
export const stokingMessageSchema = z.object({
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

export const saltingMessageSchema = z.object({
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
