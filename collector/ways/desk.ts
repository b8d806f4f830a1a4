/**
 * The desk of the ways: joins the plan (alerts/ways/) and the hands. It hears of alerts and phones, gives orders to the
 * hands, and writes down how each went, for the page to show.
 */
import type { Ladder } from '../../alerts/ways/ladder.ts';
import type { Heartbeat } from '../../alerts/ways/phones.ts';
import { newPlanOfWays, type Order, planWays, type WaysEvent } from '../../alerts/ways/plan-of-ways.ts';
import { callOf, turnOfAlert, turnOfStanding } from '../../alerts/ways/turn.ts';
import { formatTime } from '../../protocol/times.ts';
import type { SendReport, Subscription, Way, WaysMessage } from '../../protocol/ways.ts';
import { WAYS } from '../../protocol/ways.ts';
import type { AlertOutput, ReadingOutput, StandingOutput } from '../core/inputs.ts';
import type { Hand, Message, Sent } from './hand.ts';
import type { MqttHand } from './mqtt.ts';
import type { PushHand } from './push.ts';

const LOOK_EVERY_MS = 1000;
/** Sends that the page is shown. */
const KEPT_SENDS = 20;
/** The kiln's state is retained at the broker so often. */
const STATE_EVERY_MS = 10_000;

export interface WaysHands {
  webhook?: Hand | undefined;
  mqtt?: MqttHand | undefined;
  mail?: Hand | undefined;
  loudspeaker?: Hand | undefined;
  push?: PushHand | undefined;
}

export interface WaysParts {
  hands: WaysHands;
  /** Why a way is not there, in a sentence. */
  whyNot: Record<Exclude<Way, 'page' | 'lamp'>, string>;
  ladder: Ladder;
  /** As it stands when it is asked. */
  secure(): WaysMessage['secure'];
  /** Real milliseconds, monotonic; and the wall clock. */
  monotonicMs(): number;
  wallMs(): number;
  /** Which armed phones are silent, in a sentence, or that none is: for the cores. */
  onPhones(text: string | null): void;
  say(text: string): void;
}

/** What one kiln tells. */
export interface KilnWays {
  alert(output: AlertOutput | StandingOutput): void;
  reading(output: ReadingOutput): void;
  /** How its boards' lamps and buzzers are tried; null, or why not in a sentence. */
  lamp(tryLamp: () => string | null): void;
}

export interface Ways {
  kiln(name: string): KilnWays;
  /** A page says which phone it is on, and by what it would wake somebody. */
  phone(heartbeat: Heartbeat): void;
  /** The answer is null, or why not in a sentence. */
  subscribe(phone: string, subscription: Subscription | null): Promise<string | null>;
  /** A phone has shown what was pushed to it. */
  shown(phone: string, push: string): void;
  test(way: Way): Promise<Sent>;
  message(): WaysMessage;
  /** Calls when `message` may have changed; the answer ends it. */
  onNews(listener: () => void): () => void;
  close(): Promise<void>;
}

export function createWays(parts: WaysParts): Ways {
  const { hands, whyNot, monotonicMs, wallMs, say } = parts;
  const plan = newPlanOfWays(parts.ladder);
  const listeners = new Set<() => void>();
  const sends: SendReport[] = [];
  const last = new Map<Way, SendReport>();
  const stateSentAt = new Map<string, number>();
  const lamps = new Map<string, () => string | null>();
  const testing = new Map<Way, Promise<Sent>>();
  let told = '';
  let kilns: string[] = [];

  function tell(): void {
    const now = JSON.stringify(message());
    if (now === told) return;
    told = now;
    for (const listener of listeners) listener();
  }

  function report(way: Way, alert: string | null, state: SendReport['state'], text: string): void {
    const made = { way, at: wallMs(), alert, state, text };
    const before = last.get(way);
    last.set(way, made);
    sends.push(made);
    if (sends.length > KEPT_SENDS) sends.shift();
    // What fails the same way each time is said once.
    if (state === 'failed' && before?.text !== text) say(`${way}: ${text}`);
    tell();
  }

  async function send(hand: Hand, order: Message): Promise<Sent> {
    const { way } = hand;
    const alert = order.call?.id ?? null;
    const sent = await hand.send(order, (text) => report(way, alert, 'retrying', text));
    report(way, alert, sent.reached ? 'delivered' : 'failed', sent.text);
    return sent;
  }

  function obey(order: Order): void {
    if (order.kind === 'phones') {
      parts.onPhones(order.text);
      return;
    }
    const hand = hands[order.way];
    if (!hand) return;
    // A push to nobody is no failure: the page says that no phone has asked for it.
    if (order.way === 'push' && !hand.standing().armed) return;
    const { call } = order;
    const step = order.kind === 'over' ? 1 : order.step;
    const event = order.kind === 'call' ? 'raised' : order.turn;
    void send(hand, { event, kiln: call.kiln, step, call });
  }

  function take(event: WaysEvent): void {
    for (const order of planWays(plan, event)) obey(order);
  }

  const look = setInterval(() => {
    take({ kind: 'tick', at: monotonicMs() });
    tell();
  }, LOOK_EVERY_MS);

  function standingOf(way: Way): { armed: boolean; why: string } {
    if (way === 'page')
      return { armed: true, why: 'Each page that is open sounds by itself, once it was let.' };
    if (way === 'lamp')
      return lamps.size > 0
        ? { armed: true, why: "The board's lamp and buzzer follow what stands." }
        : { armed: false, why: 'No board is being watched.' };
    return hands[way]?.standing() ?? { armed: false, why: whyNot[way] };
  }

  function message(): WaysMessage {
    return {
      type: 'ways',
      ways: WAYS.map((way) => ({ way, ...standingOf(way), last: last.get(way) ?? null })),
      sends: [...sends],
      phones: [...plan.phones.values()].map(({ id, name, armed, silent }) => ({
        id,
        name,
        armed: [...armed],
        silent,
      })),
      pushKey: hands.push?.publicKey ?? null,
      secure: parts.secure(),
    };
  }

  async function tryOut(way: Way): Promise<Sent> {
    if (way === 'page') return { reached: true, text: 'The collector hears this page.' };
    if (way === 'lamp') {
      const tried = [...lamps.values()].map((tryLamp) => tryLamp());
      const refused = tried.includes(null) ? null : (tried[0] ?? standingOf(way).why);
      const text =
        refused ?? 'The board was told to call for 3 seconds. It does not answer: look at it, and listen.';
      report(way, null, refused === null ? 'delivered' : 'failed', text);
      return { reached: refused === null, text };
    }
    const hand = hands[way];
    if (!hand) return { reached: false, text: whyNot[way] };
    return send(hand, { event: 'test', kiln: kilns.join(', ') || 'the kiln', step: 1, call: null });
  }

  return {
    kiln(name) {
      kilns = [...kilns, name];
      return {
        alert(output) {
          const { standing } = output;
          if (!standing) return;
          const turn = output.kind === 'alert' ? turnOfAlert(output.state, standing) : turnOfStanding(output);
          if (turn !== null) take({ kind: 'alert', at: monotonicMs(), turn, call: callOf(name, standing) });
        },
        reading({ input, stage, kiln }) {
          const now = monotonicMs();
          if (!hands.mqtt || now - (stateSentAt.get(name) ?? Number.NEGATIVE_INFINITY) < STATE_EVERY_MS)
            return;
          stateSentAt.set(name, now);
          const { smoothC, climbCPerH } = kiln;
          const at = formatTime(input.at);
          hands.mqtt.state(name, { at, stage, kiln_c: tenths(smoothC), climb_c_per_h: tenths(climbCPerH) });
        },
        lamp: (tryLamp) => void lamps.set(name, tryLamp),
      };
    },
    phone(heartbeat) {
      take({ kind: 'phone', at: monotonicMs(), phone: heartbeat });
      tell();
    },
    async subscribe(phone, subscription) {
      const refused = hands.push ? await hands.push.subscribe(phone, subscription) : whyNot.push;
      tell();
      return refused;
    },
    shown: (phone, push) => hands.push?.shown(phone, push),
    test(way) {
      // A second touch while it is being tried is the same try.
      const under = testing.get(way);
      if (under) return under;
      const trying = tryOut(way).finally(() => testing.delete(way));
      testing.set(way, trying);
      return trying;
    },
    message,
    onNews(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async close() {
      clearInterval(look);
      await Promise.all(Object.values(hands).map((hand: Hand | undefined) => hand?.close()));
    },
  };
}

/** More is noise. */
function tenths(value: number | null): number | null {
  return value === null ? null : Math.round(value * 10) / 10;
}
