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

/** What would clear it has held for so long: it eases. A rule may say otherwise. Our own choice. */
const EASES_MS = 2 * MINUTE_MS;
/**
 * An alert that eased calls again when what raises it has held for so long, or when what would clear it has not been seen
 * for a quarter of an hour. In the dead band between the two nothing new has happened before. Our own choice.
 */
const CALLS_AGAIN_MS = 2 * MINUTE_MS;
const NOT_OVER_MS = 15 * MINUTE_MS;

/** One alert's state. The since-times are null while their condition does not hold. */
interface Life {
  raised: boolean;
  said: { at: number; text: string };
  raisedAt: number | null;
  onSince: number | null;
  offSince: number | null;
  /** Since when it could be raised anew, and since when it has been neither off nor unknown. */
  backSince: number | null;
  notOffSince: number | null;
  easing: boolean;
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

/** News of an alert that is up and no new raise: other words, with its figures as they are now, or that it eases or no more. */
export interface Fresh {
  name: AlertName;
  probe: string | null;
  /** Null: the same as before. */
  text: string | null;
  easing: boolean;
}

/**
 * Puts every rule to the view once, in the rules' order; the lives are advanced in place. `say` hears of alerts
 * that stand: what they say now, where that is something else than before, at most once a minute each, and whether they ease.
 */
export function advanceAlerts(
  lives: AlertLives,
  rules: readonly Rule[],
  view: KilnView,
  say: (fresh: Fresh) => void = () => undefined,
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
        const turned = easesOrNot(life, rule, view.at);
        if (text !== null || turned) say({ name: rule.name, probe, text, easing: life.easing });
        continue;
      }
      life.easing = false;
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
  return {
    raised: false,
    said: { at, text: '' },
    raisedAt: null,
    onSince: null,
    offSince: null,
    backSince: null,
    notOffSince: null,
    easing: false,
    seenAt: at,
  };
}

/** Whether that has changed: neither by a moment's doing, so that it does not call by fits. */
function easesOrNot(life: Life, { easesMs = EASES_MS }: Rule, at: number): boolean {
  const holds = (since: number | null, forMs: number) => since !== null && at - since >= forMs;
  const turned = life.easing
    ? holds(life.backSince, CALLS_AGAIN_MS) || holds(life.notOffSince, NOT_OVER_MS)
    : holds(life.offSince, easesMs);
  if (!life.raised || !turned) return false;
  life.easing = !life.easing;
  return true;
}

/** Only while its condition holds: in the dead band and before it clears, what it said last stands. */
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
    if (life.backSince !== null) life.backSince += sinceSeenMs;
    if (life.notOffSince !== null) life.notOffSince += sinceSeenMs;
    return null;
  }
  life.onSince = finding.verdict === 'on' ? (life.onSince ?? at) : null;
  life.offSince = finding.verdict === 'off' ? (life.offSince ?? at) : null;
  life.backSince = finding.verdict === 'on' ? (life.backSince ?? at) : null;
  life.notOffSince = finding.verdict === 'off' ? null : (life.notOffSince ?? at);
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
