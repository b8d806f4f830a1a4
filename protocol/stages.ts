/** The stages of a firing, in order. `hold` may stand within `climbing`. */
export const STAGES = [
  'before',
  'candling',
  'climbing',
  'hold',
  'salting',
  'soak',
  'cooling',
  'open',
] as const;
export type Stage = (typeof STAGES)[number];
