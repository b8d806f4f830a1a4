/**
 * What raises and clears an alert: on-delay, off-delay and dead band each, and never so often that it is chatter. Its life
 * once it is raised is standing.ts.
 */
import { ALERT_PRIORITY, type AlertName, type AlertPriority } from '../protocol/alert-names.ts';
import { MINUTE_MS } from '../protocol/units.ts';
import type { Finding, Rule } from './rule.ts';
import type { KilnView } from './view.ts';

/** An alert that was raised comes again at the earliest after this: at most 3 times in 10 minutes. */
const LEAST_BETWEEN_RAISES_MS = 4 * MINUTE_MS;

/** What an alert that stands says grows old with its figures: it is said anew at most so often. */
const SAID_AGAIN_MS = MINUTE_MS;

/** One alert's state. The since-times are null while their condition does not hold. */
interface Life {
  raised: boolean;
  said: { at: number; text: string };
  raisedAt: number | null;
  onSince: number | null;
  offSince: number | null;
  seenAt: number;
}

/** By rule and probe; null is the kiln as a whole. This is asked twice a second, for each probe: no key is put together. */
export type AlertLives = Map<AlertName, Map<string | null, Life>>;

export interface AlertChange {
  at: number;
  name: AlertName;
  state: 'raised' | 'cleared';
  probe: string | null;
  priority: AlertPriority;
  text: string;
}

/** Other words of an alert that is up, with its figures as they are now. It is no new raise. */
export interface FreshText {
  name: AlertName;
  probe: string | null;
  text: string;
}

/**
 * Puts every rule to the view once, in the rules' order; the lives are advanced in place. `say` hears what alerts that
 * stand say now, where that is something else than before, at most once a minute each.
 */
export function advanceAlerts(
  lives: AlertLives,
  rules: readonly Rule[],
  view: KilnView,
  say: (fresh: FreshText) => void = () => undefined,
): AlertChange[] {
  const changes: AlertChange[] = [];
  for (const rule of rules) {
    let ofRule = lives.get(rule.name);
    for (const finding of rule.judge(view)) {
      let life = ofRule?.get(finding.probe);
      if (!life) {
        if (finding.verdict !== 'on') continue;
        life = newLife(view.at);
        ofRule ??= new Map();
        lives.set(rule.name, ofRule.set(finding.probe, life));
      }
      const state = turn(life, rule, finding, view.at);
      const { probe } = finding;
      if (!state) {
        const text = otherWords(life, finding, view.at);
        if (text !== null) say({ name: rule.name, probe, text });
        continue;
      }
      const text = finding.text();
      life.said = { at: view.at, text };
      changes.push({
        at: view.at,
        name: rule.name,
        state,
        probe,
        priority: ALERT_PRIORITY[rule.name],
        text,
      });
    }
  }
  return changes;
}

function newLife(at: number): Life {
  return { raised: false, said: { at, text: '' }, raisedAt: null, onSince: null, offSince: null, seenAt: at };
}

/** Only while its condition holds: in the dead band and before it clears, the words of its raising stand. */
function otherWords(life: Life, finding: Finding, at: number): string | null {
  if (!life.raised || finding.verdict !== 'on' || at - life.said.at < SAID_AGAIN_MS) return null;
  const text = finding.text();
  const other = text !== life.said.text;
  life.said = { at, text };
  return other ? text : null;
}

function turn(life: Life, rule: Rule, finding: Finding, at: number): 'raised' | 'cleared' | null {
  const sinceSeenMs = at - life.seenAt;
  life.seenAt = at;
  if (finding.verdict === 'unknown') {
    if (life.onSince !== null) life.onSince += sinceSeenMs;
    if (life.offSince !== null) life.offSince += sinceSeenMs;
    return null;
  }
  life.onSince = finding.verdict === 'on' ? (life.onSince ?? at) : null;
  life.offSince = finding.verdict === 'off' ? (life.offSince ?? at) : null;
  if (!life.raised && life.onSince !== null && at - life.onSince >= rule.onDelayMs) {
    if (life.raisedAt !== null && at - life.raisedAt < LEAST_BETWEEN_RAISES_MS) return null;
    life.raised = true;
    life.raisedAt = at;
    return 'raised';
  }
  if (
    life.raised &&
    life.offSince !== null &&
    at - life.offSince >= (finding.offDelayMs ?? rule.offDelayMs)
  ) {
    life.raised = false;
    return 'cleared';
  }
  return null;
}
