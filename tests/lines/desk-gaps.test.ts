import { describe, expect, test } from 'vitest';
import { deskStep, openDesk } from '../../collector/lines/desk.ts';
import { countOf, inWords, lineOf, play, SHED, START, type Step, up } from './desk-script.ts';

const A = '000000AA';

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

test('a board that answers nothing costs no more memory with time, and every loss is told', () => {
  const desk = play(up(0));
  let lost = 0;
  for (let n = 1; n < 20_000; n += 1) {
    const at = START + (n + 1) * 1000;
    deskStep(desk, { kind: 'tick', at });
    if (n % 7 === 3) lost += 1;
    else deskStep(desk, { kind: 'line', at, text: lineOf(`R ${n} ${(n + 1) * 1000}`) ?? '' });
  }
  const asks = desk.current?.asks ?? { wanted: [], open: [] };
  const waiting = countOf([...asks.wanted, ...asks.open.flatMap(({ left }) => left)]);
  expect(asks.wanted.length).toBeLessThanOrEqual(256);
  expect(asks.open.length).toBeLessThanOrEqual(4);
  expect(desk.current?.ledger.seen.length).toBeLessThanOrEqual(512);
  expect(desk.counts.missing + waiting).toBe(lost);
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
