import { describe, expect, test } from 'vitest';
import { deskStep } from '../../collector/lines/desk.ts';
import { play, START, up } from './desk-script.ts';

const A = '000000AA';
const C = '000000CC';

describe('silence', () => {
  test('5 periods: hello is asked for, and again; 15: the port is opened again, once in 5 min', () => {
    const desk = play([
      ...up(1),
      [6.9, 'tick'],
      [7, 'tick', 'silent', '?'],
      [8, 'ticks 4'],
      [12, 'tick', '?'],
      [13, 'ticks 4'],
      [17, 'tick', '?', 'reopen'],
      [17.1, 'close'],
      [18, 'tick'],
      [18.5, 'open', '?'],
      [19, 'ticks 4'],
      [23.5, 'tick', 'silent', '?'],
      [24, `B ${A}`, 'heard'],
      [25, 'R 24 25000', `live ${A} 24 @25`, 'ask 2-23'],
    ]);
    const reopened: number[] = [];
    for (let second = 26; second < 1000; second += 1)
      for (const output of deskStep(desk, { kind: 'tick', at: START + second * 1000 }))
        if (output.kind === 'reopen') reopened.push(second);
    expect(reopened).toEqual([317, 617, 917]);
  });

  test('noise does not end it', () => {
    play([...up(1), [6, '\u00ff\u0000', 'bad not-framed'], [7, 'tick', 'silent', '?']]);
  });
});

describe('presses', () => {
  test('are given out once, at the time of the press', () => {
    const desk = play([
      ...up(9),
      [10.9, 'P 0 10500 3', 'press 0 3 @10.5'],
      [11, 'P 0 10500 3'],
      [11.2, 'P 1 11100 3', 'press 1 3 @11.1'],
      [11.3, 'P 0 10500 3'],
    ]);
    expect(desk.counts).toMatchObject({ duplicates: 2 });
  });

  test('of a board that restarted are not taken for old ones', () => {
    play([
      ...up(9),
      [10.5, 'P 0 10500 3', 'press 0 3 @10.5'],
      [20, 'P 0 700 3', '?'],
      [20.1, `B ${C}`, `restarted ${C}`, `hello shed-1 ${C}`, 'press 0 3 @20'],
    ]);
  });
});

describe('live times never go back', () => {
  test('when a backlog comes all at once', () => {
    play([
      [0, 'open', '?'],
      [0.1, `B ${A}`, `hello shed-1 ${A}`],
      [10, 'R 0 1000', `live ${A} 0 @10`],
      [10, 'R 1 2000', `live ${A} 1 @10.001`],
      [10, 'R 2 3000', `live ${A} 2 @10.002`],
      [10.1, 'R 9 10000', `live ${A} 9 @10.1`, 'ask 3-8'],
      [11.1, 'R 10 11000', `live ${A} 10 @11.1`],
    ]);
  });

  test('when the first line was held up', () => {
    play([
      [0, 'open', '?'],
      [0.1, `B ${A}`, `hello shed-1 ${A}`],
      [3.5, 'R 0 1000', `live ${A} 0 @3.5`],
      [3.6, 'R 1 2000', `live ${A} 1 @3.6`],
      [3.6, 'R 2 3000', `live ${A} 2 @3.601`],
      [4, 'R 3 4000', `live ${A} 3 @4`],
      [6, 'R 4 5000', `live ${A} 4 @5`],
      [6.1, 'R 5 6000', `live ${A} 5 @6`],
    ]);
  });

  test('over a restart', () => {
    play([
      ...up(2),
      [3, `B ${C}`, `restarted ${C}`, `hello shed-1 ${C}`],
      [3, 'R 0 10', `live ${C} 0 @3.001`],
    ]);
  });
});
