/**
 * What a rule is. One file a subject in `rules/`; the life of an alert is in life.ts. Delays, bands and limits are our own
 * choice, no source, where a rule names none.
 */
import type { AlertName } from '../protocol/alert-names.ts';
import type { KilnView } from './view.ts';

/**
 * `on`: the condition for raising holds. `off`: the condition for clearing holds. `between`: neither (the dead band), so
 * the alert stays as it is. `unknown`: there are no figures to judge by just now; the alert stays as it is and its delays
 * wait, so that a link with hiccups delays an alert but never keeps it away.
 */
export type Verdict = 'on' | 'off' | 'between' | 'unknown';

export interface Finding {
  /** The probe it is about, or null for the kiln. */
  probe: string | null;
  verdict: Verdict;
  /** In words: asked for when the alert is raised or cleared, and once a minute while its condition holds. */
  text: () => string;
  /** Instead of the rule's own, where one reason for clearing waits and another does not. */
  offDelayMs?: number;
}

export interface Rule {
  name: AlertName;
  /** `on` must hold this long before it raises, `off` this long before it clears. */
  onDelayMs: number;
  offDelayMs: number;
  /** `off` this long, and it eases: it need not call while it waits out its off-delay. Where none is named, 2 min. */
  easesMs?: number;
  judge: (view: KilnView) => Finding[];
}

/** The usual case: one finding about the kiln. */
export function aboutKiln(verdict: Verdict, text: () => string): Finding[] {
  return [{ probe: null, verdict, text }];
}

/** One finding about the kiln while there are no figures: it neither raises nor clears, so it says nothing. */
export function notKnown(): Finding[] {
  return aboutKiln('unknown', () => '');
}

export function verdictOf(on: boolean, off: boolean): Verdict {
  return on ? 'on' : off ? 'off' : 'between';
}
