/**
 * How an alert sounds, on the page and from the collector's own loudspeaker alike: one pattern a priority, told apart by
 * rhythm and not by pitch alone, since fire and wind are loud.
 */
import type { AlertPriority } from './alert-names.ts';

export interface Tone {
  atMs: number;
  forMs: number;
  hz: number;
}

/** come-now: three long calls, each rising. look-soon: two even knocks. note: one low knock. */
export const ALERT_TONES: Record<AlertPriority, readonly Tone[]> = {
  'come-now': [0, 700, 1400].flatMap((atMs) => [
    { atMs, forMs: 240, hz: 587 },
    { atMs: atMs + 240, forMs: 300, hz: 880 },
  ]),
  'look-soon': [
    { atMs: 0, forMs: 180, hz: 523 },
    { atMs: 320, forMs: 180, hz: 523 },
  ],
  note: [{ atMs: 0, forMs: 260, hz: 392 }],
};
