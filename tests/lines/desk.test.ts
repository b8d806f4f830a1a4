import { describe, expect, test } from 'vitest';
import { deskStep, openDesk } from '../../collector/lines/desk.ts';
import { inWords, lineOf, play, SHED, START, type Step } from './desk-script.ts';

const A = '000000AA';
const C = '000000CC';

/** Opened, greeted, and the readings 0 to `last`, a second each; reading n has uptime n s + 1 s and comes at n s + 1 s. */
function up(last: number): Step[] {
  const steps: Step[] = [
    [0, 'open', '?'],
    [0.1, `B ${A}`, `hello shed-1 ${A}`],
  ];
  for (let n = 0; n <= last; n += 1)
    steps.push([n + 1, `R ${n} ${(n + 1) * 1000}`, `live ${A} ${n} @${n + 1}`]);
  return steps;
}

describe('before any hello', () => {
  test('a hello is asked for every 5 s, and what comes is counted and not used', () => {
    const desk = play([
      [0, 'open', '?'],
      [1, 'R 5 6000', 'bad before-hello'],
      [2, 'tick'],
      [4.9, 'P 0 6500 1', 'bad before-hello'],
      [5, 'tick', '?'],
      [6, 'M 1 2', 'bad before-hello'],
      [9, 'tick'],
      [10, 'tick', '?'],
      [11, `B ${A}`, `hello shed-1 ${A}`],
      [11.5, `B ${A}`],
      [12, 'R 16 17000', `live ${A} 16 @12`],
      [15.5, 'ticks 1'],
    ]);
    expect(desk.counts).toMatchObject({ lines: 6, bad: { 'before-hello': 3 } });
  });

  test('a port over which nothing comes at all is opened again, at most once in 5 min', () => {
    const steps: Step[] = [];
    const desk = openDesk({ link: 'test', plain: null });
    const reopened: number[] = [];
    play([[0, 'open', '?'], ...steps], { desk });
    for (let second = 1; second <= 700; second += 1)
      for (const output of deskStep(desk, { kind: 'tick', at: START + second * 1000 }))
        if (output.kind === 'reopen') reopened.push(second);
    expect(reopened).toEqual([60, 360, 660]);
  });
});

describe('lines that cannot be used', () => {
  test('are counted by why and change nothing', () => {
    const desk = play([
      ...up(2),
      [3.1, '$R,3,4000,20,1*0000', 'bad bad-crc'],
      [3.2, 'R,3,4000,20,1', 'bad not-framed'],
      [3.3, '23.5, 24.0', 'bad not-framed'],
      [3.4, '$X*B7B8', 'bad bad-crc'],
      [3.5, ''],
      [4, 'R 3 4000', `live ${A} 3 @4`],
    ]);
    expect(desk.counts.bad).toEqual({ 'bad-crc': 2, 'not-framed': 2 });
  });

  test('a reading with another number of values than the hello has probes', () => {
    const two = {
      ...SHED,
      probes: [...SHED.probes, { name: 'high', couple: 'S' as const, form: { kind: 'uv' as const } }],
    };
    const desk = play(up(1));
    play([[3, 'R 2 3000', 'bad wrong-count', '?']], { desk, hello: two });
    play([[4, 'R 3 4000', `live ${A} 3 @4`, 'ask 2-2']], { desk });
  });
});

describe('gaps', () => {
  test('are asked for at once; what comes again is late and timed by its uptime', () => {
    const desk = play([
      ...up(4),
      [10, 'R 9 10000', `live ${A} 9 @10`, 'ask 5-8'],
      [10.2, 'R 5 6000', `late ${A} 5 @6`],
      [10.3, 'R 6 7000', `late ${A} 6 @7`],
      [10.4, 'R 6 7000'],
      [10.5, 'R 7 8000', `late ${A} 7 @8`],
      [10.6, 'M 8 8', `missing ${A} 8-8`],
      [11, 'R 10 11000', `live ${A} 10 @11`],
      [20, 'tick', 'silent', '?'],
    ]);
    expect(desk.counts).toMatchObject({ duplicates: 1, late: 3, missing: 1 });
  });

  test('are asked for again after 5 s, 10 times, and then given up', () => {
    const steps: Step[] = [...up(1), [5, 'R 4 5000', `live ${A} 4 @5`, 'ask 2-3']];
    for (let second = 6; second <= 60; second += 1) {
      const asked = (second - 5) % 5 === 0 && second < 60;
      steps.push([
        second,
        `R ${second - 1} ${second * 1000}`,
        `live ${A} ${second - 1} @${second}`,
        ...(asked ? ['ask 2-3'] : []),
        ...(second === 60 ? [`missing ${A} 2-3`] : []),
      ]);
    }
    const desk = play([...steps, [61, 'tick'], [62, 'R 3 4000', `late ${A} 3 @4`]]);
    expect(desk.counts.missing).toBe(2);
  });

  test('are not given up while nothing at all is heard', () => {
    const desk = play([...up(20), [25, 'R 24 25000', `live ${A} 24 @25`, 'ask 21-23']]);
    const words: string[] = [];
    for (let second = 26; second < 1000; second += 1)
      for (const output of deskStep(desk, { kind: 'tick', at: START + second * 1000 }))
        words.push(inWords(output));
    expect(words).not.toContain(`missing ${A} 21-23`);
    expect(words.filter((word) => word === 'ask 21-23')).toHaveLength(10);
    const asked = ['ask 21-23', 'ask 25-224', 'ask 225-424', 'ask 425-624'];
    play([[1000, 'R 999 1000000', 'heard', `live ${A} 999 @1000`, ...asked]], { desk });
  });

  test('as long as the board answers one question, none is put again', () => {
    const desk = play([...up(9), [400, 'R 399 400000', `live ${A} 399 @400`, 'ask 10-209', 'ask 210-398']]);
    for (let n = 10; n <= 398; n += 1)
      play([[400 + n / 10, `R ${n} ${(n + 1) * 1000}`, `late ${A} ${n} @${n + 1}`]], { desk });
    play(
      [
        [440, 'R 400 401000', `live ${A} 400 @401`],
        [441, 'tick'],
      ],
      { desk },
    );
  });

  test('beyond what the board keeps are not asked for', () => {
    play(
      [
        [0, 'open', '?'],
        [0, `B ${A}`, `hello shed-1 ${A}`],
        [1, 'R 0 1000', `live ${A} 0 @1`],
        [2, 'R 1 2000', `live ${A} 1 @2`],
        [20, 'R 19 20000', `live ${A} 19 @20`, `missing ${A} 2-8`, 'ask 9-18'],
      ],
      { hello: { ...SHED, keeps: 10 } },
    );
    play(
      [
        [0, 'open', '?'],
        [0, `B ${A}`, `hello shed-1 ${A}`],
        [1, 'R 0 1000', `live ${A} 0 @1`],
        [3, 'R 2 3000', `live ${A} 2 @3`, `missing ${A} 1-1`],
      ],
      { hello: { ...SHED, keeps: 0 } },
    );
  });

  test('are asked for again once the link is open again and the board has said that it is the same', () => {
    play([
      ...up(1),
      [5, 'R 4 5000', `live ${A} 4 @5`, 'ask 2-3'],
      [6, 'close'],
      [7, 'ticks 20'],
      [30, 'open', '?'],
      [30.1, 'tick'],
      [30.2, 'R 29 30200', `live ${A} 29 @30.2`],
      [30.3, `B ${A}`, 'ask 2-3', 'ask 5-28'],
    ]);
  });

  test('over the roll-over of seq', () => {
    play([
      [0, 'open', '?'],
      [0, `B ${A}`, `hello shed-1 ${A}`],
      [1, 'R 4294967293 1000', `live ${A} 4294967293 @1`],
      [2, 'R 4294967294 2000', `live ${A} 4294967294 @2`],
      [6, 'R 2 6000', `live ${A} 2 @6`, 'ask 4294967295-1'],
      [6.1, 'R 4294967295 3000', `late ${A} 4294967295 @3`],
      [6.2, 'R 0 4000', `late ${A} 0 @4`],
      [6.3, 'R 0 4000'],
      [6.4, 'M 4294967295 1', `missing ${A} 1-1`],
      [7, 'R 3 7000', `live ${A} 3 @7`],
    ]);
  });
});

describe('roll-over of uptime', () => {
  test('is not a restart', () => {
    const top = 2 ** 32;
    play([
      [0, 'open', '?'],
      [0, `B ${A}`, `hello shed-1 ${A}`],
      [1, `R 100 ${top - 1500}`, `live ${A} 100 @1`],
      [2, `R 101 ${top - 500}`, `live ${A} 101 @2`],
      [4, 'R 103 1500', `live ${A} 103 @4`, 'ask 102-102'],
      [4.1, 'R 102 500', `late ${A} 102 @3`],
      [4.2, 'P 0 1700 3', 'press 0 3 @4.2'],
    ]);
  });
});

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
