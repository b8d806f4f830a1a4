/**
 * Which way calls when: one reducer from what happens to alerts and phones to orders for the hands in collector/ways/.
 * Pure. Times are real milliseconds of a monotonic clock, since persons answer in real time however fast a demo runs.
 *
 *     raised -> push and mail at once, webhook and MQTT told
 *            -> nobody answers for some minutes, or no armed phone is heard: the loudspeaker, again and louder
 *     answered, cleared, easing, shelved, suppressed -> all quiet; webhook and MQTT told
 */
import { type CallStep, callAfter } from '../../protocol/alert-calls.ts';
import type { AlertName, AlertPriority } from '../../protocol/alert-names.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import { AGAIN_MIN, CALLED_WAYS, type CalledWay, type Ladder, TOLD_WAYS, type ToldWay } from './ladder.ts';
import {
  forgetSilent,
  type Heartbeat,
  type Phones,
  phoneHeard,
  phonesAt,
  silentInWords,
  someoneHears,
} from './phones.ts';

/** An alert as a way tells it. `raisedAt` in firing time. `id` is unique in its kiln's firing. */
export interface Call {
  kiln: string;
  id: string;
  name: AlertName;
  probe: string | null;
  priority: AlertPriority;
  text: string;
  raisedAt: number;
  acknowledged: { at: number; who: string | null; where: string } | null;
}

/** `quiet`: easing, shelved, or suppressed by the stage. `said`: other words for the same. */
export const ALERT_TURNS = ['raised', 'acknowledged', 'quiet', 'said', 'cleared'] as const;
export type AlertTurn = (typeof ALERT_TURNS)[number];

export type WaysEvent =
  | { kind: 'alert'; at: number; turn: AlertTurn; call: Call }
  | { kind: 'phone'; at: number; phone: Heartbeat }
  | { kind: 'tick'; at: number };

export type Order =
  /** Call a person. `why`: for what reason just now, in words. */
  | { kind: 'call'; way: CalledWay; step: CallStep; call: Call; why: string }
  /** Inform a machine. `unanswered`: nobody has answered, and it has become louder. */
  | { kind: 'tell'; way: ToldWay; turn: AlertTurn | 'unanswered'; step: CallStep; call: Call }
  /** What was shown on locked phones is over, or answered. */
  | { kind: 'over'; way: 'push'; turn: AlertTurn; call: Call }
  /** To the core: which armed phones are silent, or that none is. */
  | { kind: 'phones'; text: string | null };

interface Calling {
  call: Call;
  /** When it began to call, and how loudly it calls. */
  since: number;
  step: CallStep;
  /** When each way called last. */
  used: Map<CalledWay, number>;
}

export interface PlanOfWays {
  ladder: Ladder;
  calling: Map<string, Calling>;
  phones: Phones;
  phonesSaid: string | null;
}

export function newPlanOfWays(ladder: Ladder): PlanOfWays {
  return { ladder, calling: new Map(), phones: new Map(), phonesSaid: null };
}

/** One event; the plan is advanced in place. */
export function planWays(plan: PlanOfWays, event: WaysEvent): Order[] {
  const orders: Order[] = [];
  phonesAt(plan.phones, event.at);
  if (event.kind === 'alert') takeAlert(plan, event, orders);
  else if (event.kind === 'phone') phoneHeard(plan.phones, event.at, event.phone);
  tellPhones(plan, orders);
  for (const calling of plan.calling.values()) callOn(plan, calling, event.at, orders);
  return orders;
}

const callKey = ({ kiln, id }: Call) => `${kiln} ${id}`;

function takeAlert(
  plan: PlanOfWays,
  { at, turn, call }: Extract<WaysEvent, { kind: 'alert' }>,
  orders: Order[],
): void {
  const before = plan.calling.get(callKey(call));
  const step = before?.step ?? 1;
  for (const way of TOLD_WAYS) {
    // Other words for the same are no event; only what MQTT retains keeps up with them.
    if (turn !== 'said' || way === 'mqtt') orders.push({ kind: 'tell', way, turn, step, call });
  }
  if (turn === 'raised') {
    plan.calling.set(callKey(call), { call, since: at, step: 1, used: new Map() });
  } else if (turn === 'said') {
    if (before) before.call = call;
  } else {
    plan.calling.delete(callKey(call));
    if (before?.used.has('push')) orders.push({ kind: 'over', way: 'push', turn, call });
    if (turn === 'acknowledged' && call.name === 'phone-silent') forgetSilent(plan.phones);
  }
}

function tellPhones(plan: PlanOfWays, orders: Order[]): void {
  const text = silentInWords(plan.phones);
  if (text === plan.phonesSaid) return;
  plan.phonesSaid = text;
  orders.push({ kind: 'phones', text });
}

function callOn(plan: PlanOfWays, calling: Calling, at: number, orders: Order[]): void {
  const { call, since, used } = calling;
  const { step } = callAfter(call.priority, at - since);
  for (const way of CALLED_WAYS) {
    const why = reasonNow(plan, calling, way, at);
    if (why === null) continue;
    used.set(way, at);
    orders.push({ kind: 'call', way, step, call, why });
  }
  if (step === calling.step) return;
  calling.step = step;
  for (const way of TOLD_WAYS) orders.push({ kind: 'tell', way, turn: 'unanswered', step, call });
}

/** Why this way must call now; null where it need not. */
function reasonNow(plan: PlanOfWays, calling: Calling, way: CalledWay, at: number): string | null {
  const { call, since, used } = calling;
  const ofWay = plan.ladder[way][call.priority];
  if (ofWay === null) return null;
  const alone = way === 'loudspeaker' && (call.name === 'phone-silent' || !someoneHears(plan.phones));
  const afterMs = alone ? 0 : ofWay * MINUTE_MS;
  if (at - since < afterMs) return null;
  const last = used.get(way);
  if (last !== undefined)
    return at - last >= againMs(call.priority, way, at - since) ? 'Nobody has answered.' : null;
  if (ofWay === 0) return 'At once.';
  return alone && at - since < ofWay * MINUTE_MS
    ? 'No armed phone is heard.'
    : `Nobody has answered for ${ofWay} min.`;
}

function againMs(priority: AlertPriority, way: CalledWay, calledForMs: number): number {
  if (way === 'loudspeaker') return callAfter(priority, calledForMs).everyMs;
  const minutes = AGAIN_MIN[way][priority];
  return minutes === null ? Number.POSITIVE_INFINITY : minutes * MINUTE_MS;
}
