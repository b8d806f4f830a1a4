/** After how long an alert that nobody has answered goes on to which way. Our own choice; the settings say otherwise. */
import type { AlertPriority } from '../../protocol/alert-names.ts';

/** The ways that call a person by the collector's own doing; page and lamp follow what stands by themselves. */
export const CALLED_WAYS = ['push', 'loudspeaker', 'mail'] as const;
export type CalledWay = (typeof CALLED_WAYS)[number];

/** Ways that are informed of each change of an alert, at once. */
export const TOLD_WAYS = ['webhook', 'mqtt'] as const;
export type ToldWay = (typeof TOLD_WAYS)[number];

/** Minutes after the alert began to call; null: never. */
export type Ladder = Record<CalledWay, Record<AlertPriority, number | null>>;

export const USUAL_LADDER: Ladder = {
  push: { 'come-now': 0, 'look-soon': 0, note: 0 },
  loudspeaker: { 'come-now': 2, 'look-soon': 10, note: null },
  mail: { 'come-now': 0, 'look-soon': 0, note: null },
};

/** Minutes until the same way is used again; null: once. The loudspeaker goes by protocol/alert-calls.ts. */
export const AGAIN_MIN: Record<Exclude<CalledWay, 'loudspeaker'>, Record<AlertPriority, number | null>> = {
  push: { 'come-now': 2, 'look-soon': 10, note: null },
  mail: { 'come-now': 30, 'look-soon': null, note: null },
};
