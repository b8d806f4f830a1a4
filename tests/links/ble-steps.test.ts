import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type BleEvent, bleStep, newBleState } from '../../collector/links/ble-steps.ts';

const id = fc.integer({ min: 0, max: 4 });
const anyEvent: fc.Arbitrary<BleEvent> = fc.oneof(
  fc.constantFrom<BleEvent>({ kind: 'timer' }, { kind: 'reopen' }),
  fc.record({ kind: fc.constantFrom('opened' as const, 'gone' as const, 'shut' as const), id }),
  fc.record({ kind: fc.constant('failed' as const), id, text: fc.constant('Not heard.') }),
  fc.record({
    kind: fc.constant('examined' as const),
    id,
    isOpen: fc.boolean(),
    unsentForMs: fc.constantFrom(0, 60_000),
  }),
);

it('always has a timer running until it is closed, opens one try at a time, and tells nothing twice', () => {
  fc.assert(
    fc.property(fc.array(anyEvent, { maxLength: 80 }), (events) => {
      const state = newBleState('shed-1', 1);
      let timer = false;
      let told = '';
      let at = 0;
      const opened: number[] = [];
      for (const event of [{ kind: 'start' } as const, ...events]) {
        // A timer that is not set does not run out.
        if (event.kind === 'timer' && !timer) continue;
        if (event.kind === 'timer') timer = false;
        at += 1_000;
        for (const effect of bleStep(state, event, at)) {
          if (effect.kind === 'timer') timer = effect.ms !== null;
          if (effect.kind === 'examine') timer = true;
          if (effect.kind === 'open') opened.push(effect.id);
          if (effect.kind === 'tell') {
            expect(`${effect.state} ${effect.text}`).not.toBe(told);
            told = `${effect.state} ${effect.text}`;
          }
        }
        expect(timer).toBe(true);
        expect(state.phase).not.toBe('closed');
      }
      expect(opened).toEqual(opened.map((_, i) => i + 1));
    }),
  );
});

it('ends from any state once it is told to close and what is under way has ended', () => {
  fc.assert(
    fc.property(fc.array(anyEvent, { maxLength: 40 }), (events) => {
      const state = newBleState('shed-1', 1);
      bleStep(state, { kind: 'start' }, 0);
      for (const event of events) bleStep(state, event, 0);
      const done = [
        ...bleStep(state, { kind: 'close' }, 0),
        ...(state.phase === 'shutting' ? bleStep(state, { kind: 'timer' }, 0) : []),
      ].filter(({ kind }) => kind === 'done');
      expect(state.phase).toBe('closed');
      expect(done).toHaveLength(1);
      expect(bleStep(state, { kind: 'close' }, 0)).toEqual([]);
    }),
  );
});
