import { describe, expect, it } from 'vitest';
import { dueSound, type Sounded } from '../../dashboard/alarm.ts';
import type { ActiveAlert } from '../../protocol/firing-record.ts';
import { alertOf } from './story.ts';

const NONE: Sounded = new Map();
const falling = alertOf('falling', 'come-now', 1, 'Falling.');
const stall = alertOf('stall', 'look-soon', 2, 'Standing still.');
const stoke = alertOf('stoke-due', 'note', 3, 'Stoke.');
const heard = (alert: ActiveAlert): ActiveAlert => ({ ...alert, acknowledged: { at: 9, who: null } });

/** Which second sounds what, over so many seconds. */
function listen(
  seconds: number,
  at: (second: number) => { alerts: ActiveAlert[]; quietForMs?: number | null },
) {
  let sounded: Sounded = NONE;
  const heardAt: [number, string][] = [];
  for (let second = 0; second <= seconds; second += 1) {
    const { alerts, quietForMs = null } = at(second);
    const due = dueSound(sounded, { alerts, quietForMs, wallMs: second * 1000 });
    sounded = due.sounded;
    if (due.sound) heardAt.push([second, due.sound]);
  }
  return heardAt;
}

describe('when the page makes itself heard', () => {
  it('an alert for which someone must come is told every quarter of a minute until it is answered', () => {
    const calls = listen(60, (second) => ({ alerts: [second < 40 ? falling : heard(falling)] }));
    expect(calls).toEqual([
      [0, 'come-now'],
      [15, 'come-now'],
      [30, 'come-now'],
    ]);
  });

  it('what calls at another kiln calls here as well, until it is heard there', () => {
    const calling = (acknowledged: boolean) => [
      {
        kiln: 'back',
        path: '/kiln/back/',
        alerts: [
          {
            id: 'stall//1',
            name: 'stall' as const,
            priority: 'look-soon' as const,
            text: 'Still.',
            acknowledged,
          },
        ],
      },
    ];
    const calls: [number, string][] = [];
    let sounded: Sounded = NONE;
    for (let second = 0; second <= 300; second += 1) {
      const input = { alerts: [], others: calling(second > 200), quietForMs: null, wallMs: second * 1000 };
      const due = dueSound(sounded, input);
      sounded = due.sounded;
      if (due.sound) calls.push([second, due.sound]);
    }
    expect(calls).toEqual([
      [0, 'look-soon'],
      [120, 'look-soon'],
    ]);
  });

  it('one to look at soon every other minute, a note once', () => {
    expect(listen(250, () => ({ alerts: [stall] }))).toEqual([
      [0, 'look-soon'],
      [120, 'look-soon'],
      [240, 'look-soon'],
    ]);
    expect(listen(250, () => ({ alerts: [stoke] }))).toEqual([[0, 'note']]);
  });

  it('of several the most urgent alone sounds', () => {
    expect(listen(14, () => ({ alerts: [stoke, stall, falling] }))).toEqual([[0, 'come-now']]);
  });

  it('an alert that went and came again sounds again', () => {
    expect(listen(8, (second) => ({ alerts: second === 4 ? [] : [stall] }))).toEqual([
      [0, 'look-soon'],
      [5, 'look-soon'],
    ]);
  });

  it('a page that has lost the collector calls after a minute', () => {
    expect(listen(80, (second) => ({ alerts: [], quietForMs: second * 1000 }))).toEqual([
      [60, 'come-now'],
      [75, 'come-now'],
    ]);
  });

  it('what eases or is put aside for a time is silent, and sounds at once when it calls again', () => {
    const off = {
      easing: { ...falling, easing: true },
      shelf: { ...falling, shelved: { at: 1, until: 9, who: null } },
    };
    for (const put of Object.values(off))
      expect(listen(30, (second) => ({ alerts: [second >= 4 && second < 20 ? put : falling] }))).toEqual([
        [0, 'come-now'],
        [20, 'come-now'],
      ]);
  });

  it('nothing stands, nothing sounds', () => {
    expect(listen(30, () => ({ alerts: [] }))).toEqual([]);
  });
});
