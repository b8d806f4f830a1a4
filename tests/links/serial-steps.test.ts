/** The serial link's reducer by itself: whatever happens, in whatever order, it holds what it promises. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mayListen } from '../../collector/links/held.ts';
import { newPortState, type PortEffect, type PortEvent } from '../../collector/links/serial-state.ts';
import { portStep } from '../../collector/links/serial-steps.ts';

const FACTS = { node: 'missing', group: null, inGroup: false, user: 'potter' } as const;
const FOUND = { isOpen: true, samePlace: true, unsentForMs: 0, bytes: 100, odd: 0, device: 'COM3' };

const fresh = () => newPortState({ path: 'COM3', baudRate: 115_200, clockRate: 1 });

/** What the world may answer, and what may befall. */
const happenings = fc.array(
  fc.oneof(
    { weight: 6, arbitrary: fc.constant('timer' as const) },
    { weight: 4, arbitrary: fc.constant('open' as const) },
    {
      weight: 2,
      arbitrary: fc.constantFrom('fail', 'break', 'stuck', 'gone', 'reopen', 'shut', 'slow' as const),
    },
  ),
  { maxLength: 80 },
);

type Happening = 'timer' | 'open' | 'fail' | 'break' | 'stuck' | 'gone' | 'reopen' | 'shut' | 'slow';

/** A world around the reducer: it keeps the one timer, the openings that are under way and the ports that are open. */
function world() {
  const state = fresh();
  const open = new Set<number>();
  const told: string[] = [];
  let opening = 0;
  let timer = false;
  let ids = 0;
  let done = 0;
  let at = 0;
  const give = (event: PortEvent) => {
    at += 1000;
    for (const effect of portStep(state, event, at)) take(effect);
  };
  function take(effect: PortEffect): void {
    if (effect.kind === 'timer') timer = effect.ms !== null;
    if (effect.kind === 'open') opening += 1;
    if (effect.kind === 'shut') open.delete(effect.id);
    if (effect.kind === 'tell') told.push(`${effect.state} ${effect.text}`);
    if (effect.kind === 'done') done += 1;
    if (effect.kind === 'look-for') give({ kind: 'looked', there: false });
    if (effect.kind === 'fail')
      give({ kind: 'failed', tried: effect.tried, message: 'ENOENT', facts: FACTS });
    if (effect.kind === 'examine') give({ kind: 'examined', id: effect.id, found: FOUND });
    if (effect.kind === 'look-after') give({ kind: 'looked-after', gone: true });
  }
  const happen = (what: Happening) => {
    const [up] = open;
    if (what === 'timer' && timer) {
      timer = false;
      give({ kind: 'timer' });
    } else if (what === 'open' && opening > 0) {
      opening -= 1;
      ids += 1;
      open.add(ids);
      give({ kind: 'opened', id: ids, target: 'COM3', known: null });
    } else if (what === 'fail' && opening > 0) {
      opening -= 1;
      give({ kind: 'failed', tried: 'COM3', message: 'ENOENT', facts: FACTS });
    } else if (what === 'break' && up !== undefined) {
      // An error and a close of the same connection, as libraries tell them.
      give({ kind: 'broken', id: up });
      give({ kind: 'broken', id: up });
    } else if (what === 'stuck' && up !== undefined)
      give({ kind: 'examined', id: up, found: { ...FOUND, unsentForMs: 60_000 } });
    else if (what === 'gone' && up !== undefined)
      give({ kind: 'examined', id: up, found: { ...FOUND, samePlace: false } });
    else if (what === 'reopen') give({ kind: 'reopen' });
    else if (what === 'shut') give({ kind: 'shut', id: ids });
  };
  return {
    state,
    give,
    happen,
    told,
    opening: () => opening,
    open: () => open.size,
    timer: () => timer,
    done: () => done,
  };
}

describe('whatever happens to a port', () => {
  it('no more than one connection and one opening are there, and while it is not closed something will come', () => {
    fc.assert(
      fc.property(happenings, (script) => {
        const port = world();
        port.give({ kind: 'start' });
        for (const what of script) {
          port.happen(what);
          expect(port.open()).toBeLessThanOrEqual(1);
          expect(port.opening()).toBeLessThanOrEqual(1);
          expect(port.timer() || port.opening() > 0).toBe(true);
          expect(port.done()).toBe(0);
        }
        // Nothing is told twice in a row.
        expect(port.told.filter((text, i) => text === port.told[i - 1])).toEqual([]);
      }),
    );
  });

  it('closing ends it once, with nothing left open, from wherever it was', () => {
    fc.assert(
      fc.property(happenings, (script) => {
        const port = world();
        port.give({ kind: 'start' });
        for (const what of script) port.happen(what);
        port.give({ kind: 'close' });
        port.give({ kind: 'close' });
        for (let n = 0; n < 5 && port.timer(); n += 1) port.happen('timer');
        port.happen('open');
        expect(port.done()).toBe(1);
        expect(port.open()).toBe(0);
        expect(port.state.phase).toBe('closed');
      }),
    );
  });
});

it('a port that takes nothing is left in peace for ten minutes', () => {
  const port = world();
  port.give({ kind: 'start' });
  port.happen('open');
  port.happen('timer');
  port.happen('stuck');
  const { deafUntil } = port.state;
  expect(mayListen(port.state, deafUntil - 1)).toBe(false);
  expect(mayListen(port.state, deafUntil)).toBe(true);
});
