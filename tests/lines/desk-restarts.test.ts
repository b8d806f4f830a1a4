import { describe, expect, test } from 'vitest';
import { deskStep, openDesk } from '../../collector/lines/desk.ts';
import { inWords, lineOf, play, SHED, START, type Step, up } from './desk-script.ts';

const A = '000000AA';
const C = '000000CC';

describe('a restart', () => {
  test('told by the hello', () => {
    play([
      ...up(3),
      [4.2, 'R 6 7000', `live ${A} 6 @4.2`, 'ask 4-5'],
      [9, `B ${C}`, `missing ${A} 4-5`, `restarted ${C}`, `hello shed-1 ${C}`],
      [10, 'R 0 1000', `live ${C} 0 @10`],
      [11, 'R 1 2000', `live ${C} 1 @11`],
    ]);
  });

  test('whose hello was lost: what comes is kept aside until a hello decides', () => {
    const desk = play([
      ...up(9),
      [15, 'R 0 1007', '?'],
      [16, 'R 1 2007'],
      [16.5, 'P 0 2400 4'],
      [17, 'R 2 3007'],
      [
        17.1,
        `B ${C}`,
        `restarted ${C}`,
        `hello shed-1 ${C}`,
        `live ${C} 0 @15`,
        `live ${C} 1 @16`,
        'press 0 4 @16.393',
        `live ${C} 2 @17`,
      ],
      [18, 'R 3 4007', `live ${C} 3 @18`],
    ]);
    expect(desk.counts).toMatchObject({ aside: 4, bad: {} });
  });

  test('the readings from its first on are asked for', () => {
    play([
      ...up(9),
      [11, 'close'],
      [60, 'open', '?'],
      [60.1, `B ${C}`, `restarted ${C}`, `hello shed-1 ${C}`],
      [61, 'R 29 30000', `live ${C} 29 @61`, 'ask 0-28'],
      [61.1, 'R 0 1000', `late ${C} 0 @32`],
    ]);
  });

  test('that has overtaken the boot before: a reading that may be of either waits for the hello', () => {
    play([
      ...up(9),
      [11, 'close'],
      [60, 'open', '?'],
      [60.1, 'R 29 30000'],
      [60.2, `B ${C}`, `restarted ${C}`, `hello shed-1 ${C}`, `live ${C} 29 @60.1`, 'ask 0-28'],
    ]);
    play([
      ...up(9),
      [11, 'close'],
      [60, 'open', '?'],
      [60.1, 'R 59 60000', `live ${A} 59 @60`],
      [60.2, `B ${A}`, 'ask 10-58'],
    ]);
  });

  test('to the same seqs and uptimes to the millisecond: they wait too', () => {
    const repeated: Step[] = [...up(9), [16, 'R 0 1000', '?'], [17, 'R 1 2000'], [18, 'R 2 3000']];
    const told = [`restarted ${C}`, `hello shed-1 ${C}`];
    play([...repeated, [18.1, `B ${C}`, ...told, `live ${C} 0 @16`, `live ${C} 1 @17`, `live ${C} 2 @18`]]);
    const desk = play([...repeated, [18.1, `B ${A}`], [19, 'R 18 19000', `live ${A} 18 @19`, 'ask 10-17']]);
    expect(desk.counts.duplicates).toBe(3);
  });

  test('under the old boot id: the board goes on, as soon as its readings agree with one another', () => {
    const desk = play([
      ...up(9),
      [15, 'R 0 1007', '?'],
      [16, 'R 1 2007'],
      [17, 'R 2 3007'],
      [17.1, `B ${A}`, `restarted ${A}`, `live ${A} 0 @15`, `live ${A} 1 @16`, `live ${A} 2 @17`],
      [18, 'R 3 4007', `live ${A} 3 @18`],
    ]);
    expect(desk.counts.bad).toEqual({});
  });

  test('of a board that cannot hear the collector: after a minute it is heard again, and nothing is lost', () => {
    const desk = play(up(9));
    const words: string[] = [];
    for (let n = 0; n <= 70; n += 1) {
      const at = START + (15 + n) * 1000;
      words.push(...deskStep(desk, { kind: 'tick', at }).map(inWords));
      const text = lineOf(`R ${n} ${n * 1000 + 1007}`) ?? '';
      words.push(...deskStep(desk, { kind: 'line', at, text }).map(inWords));
    }
    const used = words.filter((word) => word.startsWith('live'));
    expect(used).toEqual(Array.from({ length: 71 }, (_, n) => `live ${A} ${n} @${15 + n}`));
    expect(words.filter((word) => word.startsWith('restarted'))).toHaveLength(1);
  });
});

describe('readings that fit nothing', () => {
  test('are counted when the hello says that the boot is the same, and those that fit go on', () => {
    const desk = play([
      ...up(9),
      [10.5, 'R 11 5000', '?'],
      [11, 'R 10 11000', `live ${A} 10 @11`],
      [11.1, 'R 5 9500'],
      [11.2, 'R 4000000000 12000'],
      [11.3, 'R 12 4000000000'],
      [11.5, `B ${A}`, 'bad does-not-fit', 'bad does-not-fit', 'bad does-not-fit', 'bad does-not-fit'],
      [12, 'R 11 12000', `live ${A} 11 @12`],
    ]);
    expect(desk.counts.bad).toEqual({ 'does-not-fit': 4 });
  });

  // Readings 0 to 2 and 7, a second each: seq 4 is predicted at 5000 ms.
  test.each([
    [3499, false],
    [3500, true],
    [6500, true],
    [6501, false],
  ])('a seq in a gap is late within 1.5 periods of where it is predicted: %i ms, %s', (uptimeMs, late) => {
    const desk = play([...up(2), [8, 'R 7 8000', `live ${A} 7 @8`, 'ask 3-6']]);
    play([[8.1, `R 4 ${uptimeMs}`, ...(late ? [`late ${A} 4 @${uptimeMs / 1000}`] : ['?'])]], { desk });
  });

  test('a reading far off its place in a gap is taken in once the hello says that the boot is the same', () => {
    play([
      ...up(2),
      [8, 'R 7 8000', `live ${A} 7 @8`, 'ask 3-6'],
      [8.1, 'R 4 3400', '?'],
      [8.2, `B ${A}`, `late ${A} 4 @3.4`],
    ]);
  });
});

describe('another board on the same link', () => {
  test('is another board, and the first one is known again when it comes back', () => {
    const desk = play(up(3));
    const other = { ...SHED, board: 'shed-2' };
    play(
      [
        [10, `B ${C}`, `hello shed-2 ${C}`],
        [11, 'R 7 8000', `live ${C} 7 @11`],
      ],
      { desk, hello: other },
    );
    play(
      [
        [20, `B ${A}`, `hello shed-1 ${A}`],
        [21, 'R 20 21000', `live ${A} 20 @21`, 'ask 4-19'],
      ],
      { desk },
    );
  });
});

describe('after a restart of the collector', () => {
  const kept = (seq: number, late = false) => ({
    kind: 'adopt' as const,
    row: { at: START + (seq + 1) * 1000, board: 'shed-1', boot: A, seq, uptimeMs: (seq + 1) * 1000, late },
  });

  test('what is there is not taken twice, and what is missing is asked for', () => {
    const desk = openDesk({ link: 'test', plain: null });
    expect(deskStep(desk, { kind: 'adopt-hello', hello: SHED })).toEqual([]);
    for (const seq of [0, 0, 1, 2, 5, 6]) expect(deskStep(desk, kept(seq))).toEqual([]);
    expect(deskStep(desk, kept(4, true))).toEqual([]);
    play(
      [
        [30, 'open', '?'],
        [30.1, 'R 6 7000', '?'].slice(0, 2) as Step,
        [30.2, 'R 29 30000', `live ${A} 29 @30`],
        [30.3, `B ${A}`, 'ask 3-3', 'ask 7-28'],
        [30.4, 'R 3 4000', `late ${A} 3 @4`],
      ],
      { desk },
    );
  });

  test('a board that restarted meanwhile begins a new boot', () => {
    const desk = openDesk({ link: 'test', plain: null });
    deskStep(desk, { kind: 'adopt-hello', hello: SHED });
    for (let seq = 0; seq < 10; seq += 1) deskStep(desk, kept(seq));
    play(
      [
        [100, 'open', '?'],
        [100.1, 'R 20 21000'],
        [100.2, `B ${C}`, `restarted ${C}`, `hello shed-1 ${C}`, `live ${C} 20 @100.1`, 'ask 0-19'],
      ],
      { desk },
    );
  });

  test('with several boards in the archive, the hello says which one it is', () => {
    const desk = openDesk({ link: 'test', plain: null });
    deskStep(desk, { kind: 'adopt-hello', hello: SHED });
    deskStep(desk, { kind: 'adopt-hello', hello: { ...SHED, board: 'shed-2', boot: C } });
    for (let seq = 0; seq < 10; seq += 1) deskStep(desk, kept(seq));
    play(
      [
        [20, 'open', '?'],
        [20.1, 'R 19 20000', 'bad before-hello'],
        [20.2, `B ${A}`],
        [21, 'R 20 21000', `live ${A} 20 @21`, 'ask 10-19'],
      ],
      { desk },
    );
  });
});
