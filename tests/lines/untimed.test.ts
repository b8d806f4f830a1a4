/** Late readings of a long gap are given out once the board's clock is known well enough to time them. */
import { describe, expect, test } from 'vitest';
import { deskStep } from '../../collector/lines/desk.ts';
import { play, SHED, START, type Step, up } from './desk-script.ts';

const A = SHED.boot;
const live = (n: number): Step => [n + 1, `R ${n} ${(n + 1) * 1000}`, `live ${A} ${n} @${n + 1}`];

/** Heard to second 20, and again at `again`; what was missed before it is asked for, and 21 and 22 come. */
function backAt(again: number): Step[] {
  const asked = again < 220 ? [`ask 20-${again - 2}`] : ['ask 20-219', 'ask 220-419', 'ask 420-618'];
  return [...up(19), [again, `R ${again - 1} ${again * 1000}`, `live ${A} ${again - 1} @${again}`, ...asked]];
}

describe('late readings', () => {
  test('of a short gap are given out as they come', () => {
    play([...backAt(100), [100.1, 'R 20 21000', `late ${A} 20 @21`]]);
  });

  test('of a gap of ten minutes wait for the sixth reading in time after it', () => {
    play([
      ...backAt(620),
      [620.1, 'R 20 21000'],
      [620.2, 'R 21 22000'],
      ...[620, 621, 622, 623].map(live),
      [624.5, 'R 22 23000'],
      [625, 'R 624 625000', `live ${A} 624 @625`, `late ${A} 20 @21`, `late ${A} 21 @22`, `late ${A} 22 @23`],
      [625.1, 'R 23 24000', `late ${A} 23 @24`],
    ]);
  });

  test('that come twice while they wait are given out once', () => {
    play([...backAt(620), [620.1, 'R 20 21000'], [620.2, 'R 20 21000'], [621, 'close', `late ${A} 20 @21`]]);
  });

  test('wait no longer than the link is open', () => {
    play([...backAt(620), [620.1, 'R 20 21000'], [620.5, 'close', `late ${A} 20 @21`], [620.6, 'open', '?']]);
  });

  test('wait for three minutes at most, if the board says nothing more', () => {
    const desk = play([...backAt(620), [620.1, 'R 20 21000']]);
    const given: number[] = [];
    for (let second = 621; second < 900; second += 1)
      for (const output of deskStep(desk, { kind: 'tick', at: START + second * 1000 }))
        if (output.kind === 'reading') given.push(second);
    expect(given).toEqual([801]);
  });

  test('are given out before the board that was restarted, or another, speaks', () => {
    play([
      ...backAt(620),
      [620.1, 'R 20 21000'],
      [
        620.2,
        'B 000000BB',
        `late ${A} 20 @21`,
        `missing ${A} 21-219`,
        `missing ${A} 220-419`,
        `missing ${A} 420-618`,
        'restarted 000000BB',
        'hello shed-1 000000BB',
      ],
    ]);
    const other = { ...SHED, board: 'shed-2' };
    const desk = play([...backAt(620), [620.1, 'R 20 21000']]);
    play([[620.2, 'B 000000CC', `late ${A} 20 @21`, 'hello shed-2 000000CC']], { desk, hello: other });
  });
});
