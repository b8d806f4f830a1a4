/** The wood that is stacked: what it is, how dry, how long, how much. */
import { z } from 'zod';

/** Kinds of wood whose weight and heat are tabled; the middle ones stand for what is like them. */
export const WOODS = [
  'hickory',
  'white-oak',
  'red-oak',
  'sugar-maple',
  'white-ash',
  'cherry',
  'yellow-poplar',
  'white-pine',
] as const;
export type Wood = (typeof WOODS)[number];

/**
 * A cord is 4 by 4 by 8 ft; a face cord 4 by 8 ft and one stick deep (lifirewood.com). A cubic metre is a metre each way as
 * it lies stacked, with the air between.
 */
export const STACK_UNITS = ['face-cords', 'cords', 'cubic-metres', 'kg'] as const;

const MOST_STACK = 100_000;
const MOST_STOKE_KG = 1000;
const MOST_STICK_IN = 96;

/** Every field has a default: red oak, air-dry, 16 inch sticks; nothing is said of how much. */
export const woodPlanSchema = z.object({
  species: z.enum(WOODS).default('red-oak'),
  /** Water's part of the wet weight: 0.2 is air-dry. */
  moisture: z.number().min(0).max(0.7).default(0.2),
  /** Length of the sticks, inches. */
  stickIn: z.number().positive().max(MOST_STICK_IN).default(16),
  /** What stands stacked at light-up; null where nobody has said. */
  stack: z
    .object({
      amount: z.number().nonnegative().max(MOST_STACK),
      unit: z.enum(STACK_UNITS).default('face-cords'),
    })
    .nullable()
    .default(null),
  /** What goes in at a usual stoke, kg, for stokes that nobody weighs. */
  stokeKg: z.number().positive().max(MOST_STOKE_KG).nullable().default(null),
});
export type WoodPlan = z.infer<typeof woodPlanSchema>;
