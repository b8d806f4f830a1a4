/** The plan of a firing: what the potter means to do, and the figures the alerts go by. Every field has a default. */
import { z } from 'zod';
import { COUPLE_TYPES } from './probes.ts';
import { woodPlanSchema } from './woods.ts';

/** The bounds are far beyond any kiln: they keep what was mistyped or made up from stopping or flooding anything. */
const tempC = z.number().min(-50).max(1800);
const rateCPerH = z.number().positive().max(10_000);
const MOST_SALT_KG = 1000;
const MOST_MINUTES = 14 * 24 * 60;
const MOST_BANDS = 50;
const MOST_OFFSETS = 200;
const MOST_PLACES = 60;
const MOST_WARE = 600;
const probeLabel = z.string().max(40);
const coneText = z.string().max(20);

/** A limit on the climb: over `maxCPerH` up to `toC` is too fast. */
const climbLimit = z.object({ toC: tempC, maxCPerH: rateCPerH });

/** A band of temperature in which cooling faster than `maxCPerH` is told. */
const coolingBand = z.object({ fromC: tempC, toC: tempC, maxCPerH: rateCPerH });

/** A user's own correction of a probe, added to its temperature from `from` on (always, if no date is given). */
const probeOffset = z.object({
  probe: probeLabel,
  offsetC: z.number().min(-200).max(200),
  from: z.iso.datetime().optional(),
});

/** What the potter means to climb at, up to a heat: a mark to steer by, and no limit. */
const climbTarget = z.object({ toC: tempC, climbCPerH: rateCPerH });

const placeName = z.string().min(1).max(40);
const pieces = z.number().int().nonnegative().max(10_000);

/** The cones that stand at a place: the guide bends first, then the firing cone, and the guard must not go down. */
const conePack = z.object({ place: placeName, guide: coneText, firing: coneText, guard: coneText });

/** Ware of one shape and clay that stands at a place. */
const ware = z.object({
  place: placeName,
  shape: z.string().min(1).max(40),
  clay: z.string().max(40).default(''),
  pieces,
});

/** A board that only prints numbers: what each number is, in order. */
const plainBoard = z.object({
  probes: z
    .array(
      z.object({ name: z.string().regex(/^[a-z0-9-]{1,16}$/), couple: z.enum(COUPLE_TYPES).default('K') }),
    )
    .min(1)
    .max(16)
    .refine((probes) => new Set(probes.map(({ name }) => name)).size === probes.length, {
      error: 'Each probe needs a name of its own.',
    }),
  unit: z.enum(['C', 'F']).default('C'),
});

/**
 * Default figures: those marked CP are common practice, no source; the stall figure, the top, the limits and the
 * delays are this project's own choice.
 */
export const planSchema = z.looseObject({
  /** The firing's name, for the folder and the page. */
  name: z.string().max(80).default('firing'),
  /** The probe that stands for the kiln; null: the mean of the working probes. */
  guide: probeLabel.nullable().default(null),
  /** Salting may start at this temperature (2200 °F, CP), this cone's heat work, or both where both are given. */
  saltingStartC: tempC.nullable().default(1204.4),
  saltingStartCone: coneText.nullable().default(null),
  /** No hotter than this. */
  topC: tempC.default(1280),
  /** The cone to fire to, on the scale of the cone chart. */
  firingCone: coneText.default('10'),
  /** Salt to use: 50 lb (CP). */
  saltKg: z.number().nonnegative().max(MOST_SALT_KG).default(22.7),
  /** One charge. A quarter cup of granular salt is about 73 g by handbook bulk density: weigh your own. */
  chargeG: z
    .number()
    .min(1)
    .max(MOST_SALT_KG * 1000)
    .default(73),
  /** While climbing, a climb below this is a stall; below its negative, falling. 20 °F an hour. */
  stallCPerH: rateCPerH.default(11),
  climbLimits: z
    .array(climbLimit)
    .max(MOST_BANDS)
    .default([
      { toC: 120, maxCPerH: 28 },
      { toC: 650, maxCPerH: 83 },
    ]),
  climbTargets: z
    .array(climbTarget)
    .max(MOST_BANDS)
    .default([
      { toC: 120, climbCPerH: 28 },
      { toC: 426.7, climbCPerH: 56 },
      { toC: 1100, climbCPerH: 69 },
      { toC: 1280, climbCPerH: 28 },
    ]),
  coolingBands: z
    .array(coolingBand)
    .max(MOST_BANDS)
    .default([
      { fromC: 620, toC: 520, maxCPerH: 50 },
      { fromC: 260, toC: 190, maxCPerH: 50 },
    ]),
  /** Planned holds: reached `atC`, stay for `minutes`. */
  holds: z
    .array(z.object({ atC: tempC, minutes: z.number().positive().max(MOST_MINUTES) }))
    .max(MOST_BANDS)
    .default([]),
  /** 400 °F (CP). */
  unbrickC: tempC.default(204.4),
  offsets: z.array(probeOffset).max(MOST_OFFSETS).default([]),
  /** The kiln's places by the potter's own names, and what stands there. */
  places: z
    .array(placeName)
    .max(MOST_PLACES)
    .default(['front low', 'front high', 'back low', 'back high'])
    .refine((places) => new Set(places).size === places.length, {
      error: 'Each place needs a name of its own.',
    }),
  conePacks: z.array(conePack).max(MOST_PLACES).default([]),
  load: z.array(ware).max(MOST_WARE).default([]),
  drawRings: z
    .array(z.object({ place: placeName, rings: pieces }))
    .max(MOST_PLACES)
    .default([]),
  wood: woodPlanSchema.prefault({}),
  plainBoard: plainBoard.nullable().default(null),
  /** What the board's buttons 1 to 8 mean: a log entry each. */
  buttons: z.record(z.string().regex(/^[1-8]$/), z.looseObject({ log: z.string() })).default({
    '1': { log: 'stoke', hole: 'left' },
    '2': { log: 'stoke', hole: 'right' },
    '3': { log: 'salt', hole: 'left' },
    '4': { log: 'salt', hole: 'right' },
    '5': { log: 'draw' },
  }),
});

export type Plan = z.infer<typeof planSchema>;

/** The plan of a potter who has changed nothing. */
export function defaultPlan(): Plan {
  return planSchema.parse({});
}
