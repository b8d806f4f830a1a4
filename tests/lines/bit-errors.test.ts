import { describe, expect, test } from 'vitest';
import { type DeskOutput, deskStep, openDesk } from '../../collector/lines/desk.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { frame } from '../../protocol/frame.ts';
import { runBadLink } from '../lossy/bad-link.ts';
import { SHED, START } from './desk-script.ts';
import { randomFrom } from './fake-board.ts';

describe('a link on which bits are flipped, both ways, newlines too', () => {
  test.each([
    { ber: 1e-4, readings: 20_000 },
    { ber: 1e-3, readings: 2000 },
  ])('at $ber of all bits no reading is false, none comes twice, and none is lost', ({ ber, readings }) => {
    const report = runBadLink(readings, ber, 1);
    expect(report.damaged).toBeGreaterThan(readings * 500 * ber * 0.5);
    expect(report).toMatchObject({ false: 0, twice: 0, lost: 0, toldGone: 0 });
    expect(report.worstTimeMs).toBeLessThan(100);
  });
});

/** A damaged line that the CRC lets pass: the right CRC for the wrong digits. */
describe('what the CRC lets pass', () => {
  const body = (seq: number, uptimeMs: number, coldC: string, value: string) =>
    `R,${seq},${uptimeMs},${coldC},${value}`;
  const good = (seq: number) => frame(body(seq, seq * 1000, '21.50', String(20_000 + seq)));

  /** A desk after ten minutes; then a damaged line at seq 600, and the board goes on. */
  function after(damaged: string) {
    const desk = openDesk({ link: '', plain: null });
    const out: DeskOutput[] = [];
    const line = (s: number, text: string) =>
      out.push(...deskStep(desk, { kind: 'line', at: START + s * 1000 + 20, text }));
    deskStep(desk, { kind: 'opened', at: START });
    line(0, formatBoardLine({ kind: 'hello', hello: SHED }));
    for (let seq = 0; seq < 600; seq += 1) line(seq, good(seq));
    out.length = 0;
    line(600, damaged);
    const at600 = out.flatMap((output) => (output.kind === 'reading' ? [output.reading] : []));
    for (let seq = 601; seq < 620; seq += 1) {
      line(seq, good(seq));
      out.push(...deskStep(desk, { kind: 'tick', at: START + seq * 1000 + 500 }));
      // The board answers whatever it is asked for.
      for (const output of out.splice(0)) {
        if (output.kind !== 'send') {
          if (output.kind === 'reading') at600.push(output.reading);
          continue;
        }
        const range = /^\$G,(\d+),(\d+)\*/.exec(output.line);
        if (output.line.startsWith('$?')) line(seq + 0.1, formatBoardLine({ kind: 'hello', hello: SHED }));
        if (range) for (let n = Number(range[1]); n <= Number(range[2]); n += 1) line(seq + 0.2, good(n));
      }
      for (const output of out.splice(0)) if (output.kind === 'reading') at600.push(output.reading);
    }
    return at600;
  }

  const random = randomFrom(1);
  const digit = () => 1 + Math.floor(random() * 9);
  test.each([
    ...[10, 100, 1000, 100_000].map((by) => ['seq', body(600 + digit() * by, 600_000, '21.50', '20600')]),
    ...[1000, 10_000, 1_000_000].map((by) => ['uptime', body(600, 600_000 + digit() * by, '21.50', '20600')]),
    ...['91.50', '-21.50', '2150', '61.50'].map((cold) => [
      'cold junction',
      body(600, 600_000, cold, '20600'),
    ]),
    ...['206000', '920600', '-20600'].map((value) => ['value', body(600, 600_000, '21.50', value)]),
  ])('a wrong %s is not believed, and the true reading is had in its place: %s', (_what, damaged) => {
    const taken = after(frame(damaged));
    expect(taken.map(({ seq }) => seq).sort((a, b) => a - b)).toEqual(
      Array.from({ length: 20 }, (_, n) => 600 + n),
    );
    for (const { seq, uptimeMs, coldJunctionC, values } of taken)
      expect([uptimeMs, coldJunctionC, values[0]?.raw]).toEqual([seq * 1000, 21.5, 20_000 + seq]);
  });

  test('a board whose own temperature really jumps is believed after a few doubts', () => {
    const desk = openDesk({ link: '', plain: null });
    let live = 0;
    deskStep(desk, { kind: 'opened', at: START });
    deskStep(desk, { kind: 'line', at: START, text: formatBoardLine({ kind: 'hello', hello: SHED }) });
    for (let seq = 0; seq < 700; seq += 1) {
      const jumps = seq > 600 && seq % 2 === 0;
      const text = frame(body(seq, seq * 1000, jumps ? '71.50' : '21.50', '20000'));
      for (const output of deskStep(desk, { kind: 'line', at: START + seq * 1000 + 20, text }))
        if (output.kind === 'reading' && !output.reading.late) live += 1;
    }
    expect(live).toBe(697);
  });
});
