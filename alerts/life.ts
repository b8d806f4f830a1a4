/** The life of the alerts: raised after a delay, cleared after a delay, and never so often that it is chatter. */
import { ALERT_PRIORITY, type AlertName, type AlertPriority } from '../protocol/alert-names.ts';
import { MINUTE_MS } from '../protocol/units.ts';
import type { Finding, Rule } from './rule.ts';
import type { KilnView } from './view.ts';

/** An alert that was raised comes again at the earliest after this: at most 3 times in 10 minutes. */
const LEAST_BETWEEN_RAISES_MS = 4 * MINUTE_MS;

/** One alert's state. The since-times are null while their condition does not hold. */
interface Life {
  raised: boolean;
  raisedAt: number | null;
  onSince: number | null;
  offSince: number | null;
  seenAt: number;
}

export type AlertLives = Map<string, Life>;

export interface AlertChange {
  at: number;
  name: AlertName;
  state: 'raised' | 'cleared';
  probe: string | null;
  priority: AlertPriority;
  text: string;
}

/** Puts every rule to the view once, in the rules' order; the lives are advanced in place. */
export function advanceAlerts(lives: AlertLives, rules: readonly Rule[], view: KilnView): AlertChange[] {
  const changes: AlertChange[] = [];
  for (const rule of rules) {
    for (const finding of rule.judge(view)) {
      const key = `${rule.name}/${finding.probe ?? ''}`;
      let life = lives.get(key);
      if (!life) {
        if (finding.verdict !== 'on') continue;
        life = { raised: false, raisedAt: null, onSince: null, offSince: null, seenAt: view.at };
        lives.set(key, life);
      }
      const state = turn(life, rule, finding, view.at);
      if (!state) continue;
      const { probe } = finding;
      changes.push({
        at: view.at,
        name: rule.name,
        state,
        probe,
        priority: ALERT_PRIORITY[rule.name],
        text: finding.text(),
      });
    }
  }
  return changes;
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
