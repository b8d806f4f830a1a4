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

/** Past candling and not yet closed: the kiln is stoked in rhythm. */
export function isBurning(stage: Stage): boolean {
  return stage === 'climbing' || stage === 'hold' || stage === 'salting' || stage === 'soak';
}
