import { describe, expect, test } from 'vitest';
import { deskStep, openDesk } from '../../collector/lines/desk.ts';
import { plainDesk, play, SHED, START } from './desk-script.ts';

const A = '000000AA';
const two = {
  probes: [
    { name: 'low', couple: 'K' as const },
    { name: 'high', couple: 'S' as const },
  ],
  unit: 'C' as const,
};
/** The boot id of an opening: its epoch ms modulo 2^32 in hex. */
const bootAt = (second: number) =>
  ((START + second * 1000) % 2 ** 32).toString(16).toUpperCase().padStart(8, '0');

describe('a board that only prints numbers', () => {
  test('each opening is a boot, lines are counted, and a time is the arrival', () => {
    const boot = bootAt(0);
    const again = bootAt(100);
    const desk = play(
      [
        [0, 'open', '?'],
        [0.5, 'thermometer ready', 'bad no-numbers'],
        [1, 'low 23.5 C, high 24.0 C', `hello plain ${boot}`, `live ${boot} 0 @1`],
        [2, '23.6 24.1', `live ${boot} 1 @2`],
        [2.5, '23.6', 'bad wrong-count'],
        [2.6, ''],
        [2.7, '23.6 * 24.1', 'bad not-framed'],
        [3, 'nan 24.2', `live ${boot} 2 @3`],
        [7, 'ticks 1'],
        [8, 'ticks 1', 'silent'],
        [100, 'open', '?'],
        [101, '25 26', 'heard', `hello plain ${again}`, `live ${again} 0 @101`],
      ],
      { desk: plainDesk(two) },
    );
    expect(desk.counts.bad).toEqual({ 'no-numbers': 1, 'wrong-count': 1, 'not-framed': 1 });
  });

  test('the values are its numbers in °C, not measured where it printed none', () => {
    const desk = plainDesk({ ...two, unit: 'F' });
    const outputs = [
      ...deskStep(desk, { kind: 'opened', at: START }),
      ...deskStep(desk, { kind: 'line', at: START + 1000.4, text: '212 nan' }),
    ];
    expect(outputs).toContainEqual({
      kind: 'hello',
      at: START + 1000,
      hello: {
        board: 'plain',
        boot: bootAt(0),
        periodMs: 1000,
        keeps: 0,
        probes: [
          { name: 'low', couple: 'K', form: { kind: 'deg' } },
          { name: 'high', couple: 'S', form: { kind: 'deg' } },
        ],
      },
    });
    expect(outputs).toContainEqual({
      kind: 'reading',
      reading: {
        kind: 'reading',
        at: START + 1000,
        board: 'plain',
        boot: bootAt(0),
        seq: 0,
        uptimeMs: 1000,
        coldJunctionC: null,
        values: [
          { probe: 'low', raw: 100 },
          { probe: 'high', raw: null },
        ],
        late: false,
      },
    });
  });

  test('the period is learnt from the arrivals, and silence goes by it', () => {
    const desk = plainDesk(two);
    const periods: number[] = [];
    const kinds: string[] = [];
    deskStep(desk, { kind: 'opened', at: START });
    for (let n = 1; n <= 30; n += 1)
      for (const output of deskStep(desk, { kind: 'line', at: START + n * 4000 + (n % 3) * 50, text: '1 2' }))
        if (output.kind === 'hello') periods.push(output.hello.periodMs);
    expect(periods).toHaveLength(2);
    expect(periods[1]).toBeGreaterThan(3900);
    expect(periods[1]).toBeLessThan(4100);
    for (let second = 121; second <= 190; second += 1)
      for (const output of deskStep(desk, { kind: 'tick', at: START + second * 1000 }))
        kinds.push(`${output.kind} ${second}`);
    expect(kinds).toEqual(['silent 141', 'reopen 181']);
  });

  test('nothing is asked of it', () => {
    const desk = plainDesk(two);
    deskStep(desk, { kind: 'opened', at: START });
    const sent = [];
    for (let second = 1; second < 600; second += 1) {
      const outputs = [
        ...deskStep(desk, { kind: 'tick', at: START + second * 1000 }),
        ...(second % 60 === 0
          ? deskStep(desk, { kind: 'line', at: START + second * 1000, text: '1 2' })
          : []),
      ];
      sent.push(...outputs.filter(({ kind }) => kind === 'send'));
    }
    expect(sent).toEqual([]);
  });
});

describe('a board that speaks the lines after all', () => {
  test('is taken at its word, and plain lines are noise from then on', () => {
    const boot = bootAt(0);
    play(
      [
        [0, 'open', '?'],
        [1, '23.5 24.0', `hello plain ${boot}`, `live ${boot} 0 @1`],
        [2, `B ${A}`, `hello shed-1 ${A}`],
        [3, 'R 0 1000', `live ${A} 0 @3`],
        [3.5, '23.5 24.0', 'bad not-framed'],
        [8, 'tick', 'silent', '?'],
      ],
      { desk: plainDesk(two) },
    );
  });

  test('a reading before its hello makes the desk ask', () => {
    play(
      [
        [0, 'open', '?'],
        [1, '23.5 24.0', `hello plain ${bootAt(0)}`, `live ${bootAt(0)} 0 @1`],
        [6, 'R 0 1000', 'bad before-hello', '?'],
        [11, 'tick', '?'],
      ],
      { desk: plainDesk(two) },
    );
  });
});

test('the plan may say later that a board is a plain one, or is none', () => {
  const desk = play([
    [0, 'open', '?'],
    [1, '23.5 24.0', 'bad not-framed'],
  ]);
  deskStep(desk, { kind: 'plain', at: START + 2000, plain: two });
  play([[3, '23.5 24.0', `hello plain ${bootAt(3)}`, `live ${bootAt(3)} 0 @3`]], { desk });
  deskStep(desk, { kind: 'plain', at: START + 3500, plain: structuredClone(two) });
  play([[3.7, '23.5 24.0', `live ${bootAt(3)} 1 @3.7`]], { desk });
  deskStep(desk, { kind: 'plain', at: START + 4000, plain: null });
  play([[5, '23.5 24.0', 'bad not-framed']], { desk });
});

test('after a restart of the collector its times go on from where they were', () => {
  const desk = openDesk({ link: '', plain: two });
  const hello = { ...SHED, board: 'plain' };
  deskStep(desk, { kind: 'adopt-hello', hello });
  const row = { at: START + 500_000, board: 'plain', boot: A, seq: 7, uptimeMs: 8000, late: false };
  deskStep(desk, { kind: 'adopt', row });
  play(
    [
      [499, 'open', '?'],
      [499.5, '1 2', `hello plain ${bootAt(499)}`, `live ${bootAt(499)} 0 @500.001`],
      [501, '1 2', `live ${bootAt(499)} 1 @501`],
    ],
    { desk },
  );
});
