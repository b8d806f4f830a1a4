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
