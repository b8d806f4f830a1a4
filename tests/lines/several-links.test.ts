import { describe, expect, test } from 'vitest';
import { type Desk, type DeskOutput, deskStep, newBoards, openDesk } from '../../collector/lines/desk.ts';
import { formatBoardLine, type Hello } from '../../protocol/board-lines.ts';
import { SHED, START } from './desk-script.ts';

const twoDesks = (): [Desk, Desk] => {
  const boards = newBoards();
  return [openDesk({ link: 'a', plain: null, boards }), openDesk({ link: 'b', plain: null, boards })];
};
const open = (desk: Desk, s = 0) => deskStep(desk, { kind: 'opened', at: START + s * 1000 });
const line = (desk: Desk, s: number, text: string) =>
  deskStep(desk, { kind: 'line', at: START + s * 1000, text });
const hello = (said: Partial<Hello>) => formatBoardLine({ kind: 'hello', hello: { ...SHED, ...said } });
const reading = (seq: number, value = 7) =>
  formatBoardLine({ kind: 'reading', seq, uptimeMs: seq * 1000, coldJunctionC: 20, values: [value] });
const seqs = (outputs: DeskOutput[]) =>
  outputs.flatMap((output) => (output.kind === 'reading' ? [output.reading.seq] : []));

describe('two links of one firing', () => {
  test('a board that is plugged in at the other one goes on where it was, and is asked for what was missed', () => {
    const [a, b] = twoDesks();
    open(a);
    line(a, 0, hello({}));
    for (let seq = 0; seq < 30; seq += 1) line(a, seq + 1, reading(seq));
    deskStep(a, { kind: 'closed', at: START + 31_000 });
    open(b, 50);
    const said = [...line(b, 50.1, hello({})), ...line(b, 51, reading(50))];
    expect(said.filter(({ kind }) => kind === 'restarted')).toEqual([]);
    const asked = said.flatMap((output) => (output.kind === 'send' ? [output.line] : []));
    expect(asked.some((text) => text.startsWith('$G,30,49*'))).toBe(true);
  });

  test('one board heard over two of them (USB and Bluetooth) counts once', () => {
    const [a, b] = twoDesks();
    const out: DeskOutput[] = [];
    for (const desk of [a, b]) {
      open(desk);
      line(desk, 0, hello({}));
    }
    for (let seq = 0; seq < 20; seq += 1) {
      out.push(...line(a, seq + 1, reading(seq)));
      out.push(...line(b, seq + 1.3, reading(seq)));
    }
    expect(seqs(out)).toEqual(Array.from({ length: 20 }, (_, seq) => seq));
  });

  test('of two boards with one name the first is listened to, and the other is told of', () => {
    const [a, b] = twoDesks();
    for (const desk of [a, b]) open(desk);
    line(a, 0, hello({}));
    for (let seq = 0; seq < 5; seq += 1) line(a, seq + 1, reading(seq));
    const said = line(b, 5.5, hello({ boot: '000000BB' }));
    expect(said).toContainEqual({ kind: 'namesake', at: START + 5500, board: 'shed-1', other: 'a' });
    expect(seqs(line(b, 6, reading(0, 999)))).toEqual([]);
    expect(seqs(line(a, 6.2, reading(5)))).toEqual([5]);
    // Once the first is gone the other may be it: a board that was plugged in elsewhere and restarted.
    const moved = line(b, 60, hello({ boot: '000000BB' }));
    expect(moved.map(({ kind }) => kind)).toContain('restarted');
    expect(seqs(line(b, 61, reading(0)))).toEqual([0]);
  });

  test('plain boards on two of them are two boards', () => {
    const boards = newBoards();
    const plain = { probes: [{ name: 'low', couple: 'K' as const }], unit: 'C' as const };
    const ids = ['ttyUSB0', 'port-2'].map((link) => {
      const desk = openDesk({ link, plain, boards });
      open(desk);
      return line(desk, 1, '23.5').flatMap((output) => (output.kind === 'hello' ? [output.hello.board] : []));
    });
    expect(ids).toEqual([['plain-ttyusb0'], ['plain-port-2']]);
  });
});

test('two boards on one wire are told in one word, once', () => {
  const desk = openDesk({ link: '', plain: null });
  open(desk);
  const said: DeskOutput[] = [];
  for (let s = 0; s < 60; s += 2) {
    said.push(...line(desk, s, hello({ board: s % 4 === 0 ? 'shed-1' : 'shed-2', boot: '000000AA' })));
    said.push(...line(desk, s + 1, reading(s)));
  }
  const mixed = said.filter(({ kind }) => kind === 'mixed');
  expect(mixed).toHaveLength(1);
  expect(mixed[0]).toMatchObject({ boards: ['shed-2', 'shed-1'] });
});
