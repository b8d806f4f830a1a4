import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { deskStep, openDesk } from '../../collector/lines/desk.ts';
import { formatBoardLine, type Hello } from '../../protocol/board-lines.ts';
import { play, SHED, START, up } from './desk-script.ts';

/** A desk that was told this hello and a reading a second, with a tick each second; what came of it, by kind. */
function listen(hello: (second: number) => Hello, seconds: number): Map<string, number> {
  const desk = openDesk({ link: 'test', plain: null });
  const came = new Map<string, number>();
  let told = '';
  const take = (input: Parameters<typeof deskStep>[1]) => {
    for (const { kind } of deskStep(desk, input)) came.set(kind, (came.get(kind) ?? 0) + 1);
  };
  take({ kind: 'opened', at: START });
  for (let second = 0; second < seconds; second += 1) {
    const at = START + second * 1000;
    const text = formatBoardLine({ kind: 'hello', hello: hello(second) });
    if (text !== told) take({ kind: 'line', at, text });
    told = text;
    const reading = { kind: 'reading', seq: second, uptimeMs: second * 1000, coldJunctionC: 20 } as const;
    take({
      kind: 'line',
      at,
      text: formatBoardLine({ ...reading, values: hello(second).probes.map(() => 20) }),
    });
    take({ kind: 'tick', at: at + 999 });
  }
  return came;
}

describe('a board that says what cannot be', () => {
  test('seconds for milliseconds: its port is not opened again and again, and it is not called silent', () => {
    const came = listen(() => ({ ...SHED, periodMs: 1 }), 600);
    expect(came.get('reading')).toBe(600);
    expect([came.get('silent'), came.get('reopen')]).toEqual([undefined, undefined]);
  });

  test('a period of weeks: its silence is found within the hour all the same', () => {
    const desk = play(up(1), { hello: { ...SHED, periodMs: 2 ** 32 - 1 } });
    const silent: number[] = [];
    for (let second = 2; second < 3600; second += 1)
      for (const { kind } of deskStep(desk, { kind: 'tick', at: START + second * 1000 }))
        if (kind === 'silent') silent.push(second);
    expect(silent).toHaveLength(1);
  });

  test('other probes each time: no more are kept than anybody has', () => {
    const name = (second: number) => ({ ...SHED.probes[0], name: `p${second}` }) as Hello['probes'][number];
    const came = listen((second) => ({ ...SHED, probes: [name(second)] }), 500);
    expect(came.get('hello')).toBe(64);
    expect(came.get('bad')).toBeGreaterThan(400);
  });

  test('another board each time: no more are kept, and no reading of one is taken for that of another', () => {
    const came = listen((second) => ({ ...SHED, board: `b${second}`, boot: '000000BB' }), 500);
    expect(came.get('hello')).toBe(64);
    expect(came.get('reading')).toBe(64);
  });

  test('once it names probes again that are known, it is listened to', () => {
    const desk = openDesk({ link: 'test', plain: null });
    const say = (probes: Hello['probes']) =>
      deskStep(desk, {
        kind: 'line',
        at: START,
        text: formatBoardLine({ kind: 'hello', hello: { ...SHED, probes } }),
      }).map(({ kind }) => kind);
    deskStep(desk, { kind: 'opened', at: START });
    for (let i = 0; i < 64; i += 1) say([{ name: `p${i}`, couple: 'K', form: { kind: 'uv' } }]);
    expect(say([{ name: 'one-more', couple: 'K', form: { kind: 'uv' } }])).toEqual(['bad']);
    expect(say([{ name: 'p7', couple: 'K', form: { kind: 'uv' } }])).toContain('hello');
  });
});

describe('the pace of a board', () => {
  const board = (periodMs: number): Hello => ({ ...SHED, periodMs });
  const say = (hello: Hello) => formatBoardLine({ kind: 'hello', hello });
  const read = (seq: number, uptimeMs: number) =>
    formatBoardLine({ kind: 'reading', seq, uptimeMs, coldJunctionC: 20, values: [20] });

  /** Lines with their arrival in ms; what came of them of periods: `said kept`, and those of the hellos. */
  function periods(lines: readonly (readonly [atMs: number, text: string])[]): string[] {
    const desk = openDesk({ link: 'test', plain: null });
    deskStep(desk, { kind: 'opened', at: START });
    return lines
      .flatMap(([atMs, text]) => deskStep(desk, { kind: 'line', at: START + atMs, text }))
      .flatMap((output) => {
        if (output.kind === 'hello') return [`hello ${output.hello.periodMs}`];
        return output.kind === 'odd-period' ? [`${output.saidMs} ${output.keptMs}`] : [];
      });
  }

  test.each([
    [1, 1000],
    [10, 10_000],
    [60_000, 1000],
    [2 ** 32 - 1, 5000],
    [1000, 400],
  ])(
    'that says %i ms and reads every %i is taken by what it does, also when it says so again',
    (saidMs, keptMs) => {
      const readings = Array.from({ length: 60 }, (_, i) => [i * keptMs + 7, read(i, i * keptMs)] as const);
      const again = [30 * keptMs + 8, say(board(saidMs))] as const;
      const lines = [
        [0, say(board(saidMs))] as const,
        ...readings.slice(0, 31),
        again,
        ...readings.slice(31),
      ];
      expect(periods(lines)).toEqual([`hello ${saidMs}`, `${saidMs} ${keptMs}`, `hello ${keptMs}`]);
    },
  );

  test('is known again when the board restarts with the same word', () => {
    const run = (fromMs: number) =>
      Array.from({ length: 20 }, (_, i) => [fromMs + i * 1000, read(i, i * 1000 + 100)] as const);
    const lines = [
      [0, say(board(1))] as const,
      ...run(100),
      [30_000, say({ ...board(1), boot: '000000BB' })] as const,
    ];
    expect(periods([...lines, ...run(30_100)])).toEqual(['hello 1', '1 1000', 'hello 1000', 'hello 1000']);
  });

  test('is its own word when it keeps it, whatever the link does to the arrivals', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 30_000 }), { minLength: 30, maxLength: 60 }),
        fc.constantFrom(500, 1000, 10_000),
        (delays, periodMs) => {
          let lastMs = 0;
          const readings = delays.map((delayMs, i) => {
            lastMs = Math.max(lastMs, i * periodMs + delayMs);
            return [lastMs, read(i, i * periodMs)] as const;
          });
          expect(periods([[0, say(board(periodMs))], ...readings])).toEqual([`hello ${periodMs}`]);
        },
      ),
    );
  });

  test('of a board whose clock counts something else is not believed against its word', () => {
    const readings = Array.from({ length: 40 }, (_, i) => [i * 1000, read(i, i + 1)] as const);
    expect(periods([[0, say(board(1000))], ...readings])).toEqual(['hello 1000']);
  });
});
