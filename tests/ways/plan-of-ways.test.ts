/** Which way calls when. Minutes, steps and repeats are our own choice. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { USUAL_LADDER } from '../../alerts/ways/ladder.ts';
import {
  type AlertTurn,
  type Call,
  newPlanOfWays,
  type Order,
  type PlanOfWays,
  planWays,
} from '../../alerts/ways/plan-of-ways.ts';
import { ALERT_PRIORITY, type AlertName } from '../../protocol/alert-names.ts';

const callOf = (name: AlertName): Call => ({
  kiln: 'spring',
  id: `${name}//1`,
  name,
  probe: null,
  priority: ALERT_PRIORITY[name],
  text: `${name} is up.`,
  raisedAt: 1,
  acknowledged: null,
});

/** A night at the kiln in seconds: orders as `second way step`, or `second way turn`. */
function night() {
  const plan: PlanOfWays = newPlanOfWays(USUAL_LADDER);
  const told: string[] = [];
  const texts: (string | null)[] = [];
  let second = 0;
  const note = (orders: Order[]) => {
    for (const order of orders) {
      if (order.kind === 'phones') texts.push(order.text);
      else if (order.kind === 'call') told.push(`${second} ${order.way} ${order.step}`);
      else told.push(`${second} ${order.way} ${order.turn}`);
    }
  };
  return {
    plan,
    texts,
    alert: (turn: AlertTurn, name: AlertName) =>
      note(planWays(plan, { kind: 'alert', at: second * 1000, turn, call: callOf(name) })),
    phone: (name: string, armed: string[] = ['sound']) =>
      note(planWays(plan, { kind: 'phone', at: second * 1000, phone: { id: name, name, armed } })),
    /** Seconds go by; `heard` says which phones send their heartbeat, every 10 s. */
    wait: (seconds: number, heard: string[] = []) => {
      for (let i = 0; i < seconds; i += 1) {
        second += 1;
        note(planWays(plan, { kind: 'tick', at: second * 1000 }));
        if (second % 10 === 0)
          for (const name of heard)
            note(
              planWays(plan, {
                kind: 'phone',
                at: second * 1000,
                phone: { id: name, name, armed: ['sound'] },
              }),
            );
      }
    },
    of: (way: string) => told.filter((line) => line.split(' ')[1] === way),
  };
}

const ANNA = "Anna's phone";

describe('an urgent alert', () => {
  it('goes at once to what is locked, to the mail, and to the machines', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.alert('raised', 'falling');
    for (const way of ['push', 'mail']) expect(kiln.of(way)).toEqual([`0 ${way} 1`]);
    for (const way of ['webhook', 'mqtt']) expect(kiln.of(way)).toEqual([`0 ${way} raised`]);
    expect(kiln.of('loudspeaker')).toEqual([]);
  });

  it('that nobody answers in 2 min goes on to the loudspeaker, and calls louder from 5 min on', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.alert('raised', 'falling');
    kiln.wait(330, [ANNA]);
    const called = kiln.of('loudspeaker');
    expect(called.slice(0, 3)).toEqual(['120 loudspeaker 2', '135 loudspeaker 2', '150 loudspeaker 2']);
    expect(called.slice(-3)).toEqual(['310 loudspeaker 3', '320 loudspeaker 3', '330 loudspeaker 3']);
    expect(kiln.of('push')).toEqual(['0 push 1', '120 push 2', '240 push 2']);
    expect(kiln.of('webhook')).toEqual([
      '0 webhook raised',
      '120 webhook unanswered',
      '300 webhook unanswered',
    ]);
  });

  it('calls over the loudspeaker at once where no armed phone is heard', () => {
    const kiln = night();
    kiln.alert('raised', 'falling');
    expect(kiln.of('loudspeaker')).toEqual(['0 loudspeaker 1']);
  });

  it.each<{ turn: AlertTurn }>([{ turn: 'acknowledged' }, { turn: 'cleared' }, { turn: 'quiet' }])(
    'calls no more once it is $turn, and the notification is taken back',
    ({ turn }) => {
      const kiln = night();
      kiln.alert('raised', 'falling');
      kiln.wait(20);
      const before = kiln.of('loudspeaker').length;
      kiln.alert(turn, 'falling');
      kiln.wait(600);
      expect(kiln.of('loudspeaker')).toHaveLength(before);
      expect(kiln.of('push')).toEqual(['0 push 1', `20 push ${turn}`]);
      expect(kiln.of('mqtt')).toEqual(['0 mqtt raised', `20 mqtt ${turn}`]);
    },
  );

  it('that comes back from its shelf calls anew', () => {
    const kiln = night();
    kiln.alert('raised', 'falling');
    kiln.alert('quiet', 'falling');
    kiln.wait(1800);
    kiln.alert('raised', 'falling');
    expect(kiln.of('push').at(-1)).toBe('1800 push 1');
  });
});

describe('less urgent', () => {
  it('look soon goes to the loudspeaker after 10 min', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.alert('raised', 'stall');
    kiln.wait(599, [ANNA]);
    expect(kiln.of('loudspeaker')).toEqual([]);
    kiln.wait(1, [ANNA]);
    expect(kiln.of('loudspeaker')).toEqual(['600 loudspeaker 2']);
  });

  it('a note is shown once, and no loudspeaker ever says it', () => {
    const kiln = night();
    kiln.alert('raised', 'stoke-due');
    kiln.wait(3600);
    expect(kiln.of('push')).toEqual(['0 push 1']);
    expect(kiln.of('loudspeaker')).toEqual([]);
    expect(kiln.of('mail')).toEqual([]);
  });

  it('other words are no new call', () => {
    const kiln = night();
    kiln.alert('raised', 'stall');
    kiln.wait(60);
    kiln.alert('said', 'stall');
    expect(kiln.of('push')).toEqual(['0 push 1']);
    expect(kiln.of('mqtt').at(-1)).toBe('60 mqtt said');
  });
});

describe('an armed phone', () => {
  it('that is not heard for 60 s is named, once', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.wait(59);
    expect(kiln.texts).toEqual([]);
    kiln.wait(100);
    expect(kiln.texts).toEqual([
      "Anna's phone has not been heard for a minute. It wakes nobody: look at it, or answer this if it was put away.",
    ]);
  });

  it('that is heard again is told so', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.wait(70);
    kiln.phone(ANNA);
    expect(kiln.texts.at(-1)).toBeNull();
  });

  it('that was let go is missed by nobody', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.phone(ANNA, []);
    kiln.wait(600);
    expect(kiln.texts).toEqual([]);
  });

  it('makes the loudspeaker call at once, and is let go when somebody answers that', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.wait(60);
    kiln.alert('raised', 'phone-silent');
    expect(kiln.of('loudspeaker')).toEqual(['60 loudspeaker 1']);
    kiln.alert('acknowledged', 'phone-silent');
    expect(kiln.texts.at(-1)).toBeNull();
    expect(kiln.plan.phones.size).toBe(0);
  });

  it('among others is told by name, and the loudspeaker waits while another one hears', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.phone("Ben's phone");
    kiln.phone("Cleo's phone");
    kiln.wait(60, ["Cleo's phone"]);
    expect(kiln.texts.at(-1)).toContain("Anna's phone and Ben's phone have not been heard");
    kiln.alert('raised', 'falling');
    expect(kiln.of('loudspeaker')).toEqual([]);
  });

  it('that falls silent while an alert calls hands it on to the loudspeaker', () => {
    const kiln = night();
    kiln.phone(ANNA);
    kiln.alert('raised', 'stall');
    kiln.wait(60);
    expect(kiln.of('loudspeaker')).toEqual(['60 loudspeaker 1']);
  });
});

it('whatever happens, nothing calls that nobody raised or that was answered', () => {
  const names: AlertName[] = ['falling', 'stall', 'stoke-due', 'phone-silent'];
  const event = fc.oneof(
    fc.record({
      turn: fc.constantFrom<AlertTurn>('raised', 'acknowledged', 'quiet', 'said', 'cleared'),
      name: fc.constantFrom(...names),
    }),
    fc.record({ phone: fc.constantFrom('a', 'b'), armed: fc.constantFrom(['sound'], []) }),
    fc.record({ waitS: fc.integer({ min: 1, max: 200 }) }),
  );
  fc.assert(
    fc.property(fc.array(event, { maxLength: 60 }), (events) => {
      const plan = newPlanOfWays(USUAL_LADDER);
      const up = new Set<string>();
      let at = 0;
      const check = (orders: Order[]) => {
        for (const order of orders) if (order.kind === 'call') expect(up).toContain(order.call.id);
      };
      for (const each of events) {
        if ('turn' in each) {
          const call = callOf(each.name);
          if (each.turn === 'raised') up.add(call.id);
          else if (each.turn !== 'said') up.delete(call.id);
          check(planWays(plan, { kind: 'alert', at, turn: each.turn, call }));
        } else if ('phone' in each) {
          check(
            planWays(plan, {
              kind: 'phone',
              at,
              phone: { id: each.phone, name: each.phone, armed: each.armed },
            }),
          );
        } else {
          at += each.waitS * 1000;
          check(planWays(plan, { kind: 'tick', at }));
        }
      }
      expect([...plan.calling.values()].map(({ call }) => call.id).toSorted()).toEqual([...up].toSorted());
    }),
  );
});
