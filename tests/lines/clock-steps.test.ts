/** The computer's clock may have been set while the collector was not running: the board has counted on meanwhile. */
import { describe, expect, test } from 'vitest';
import { type Desk, type DeskOutput, deskStep, openDesk } from '../../collector/lines/desk.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { SHED, START } from './desk-script.ts';

const HOUR = 3_600_000;
const reading = (seq: number) =>
  formatBoardLine({ kind: 'reading', seq, uptimeMs: seq * 1000, coldJunctionC: 20, values: [7] });

/** A desk that knows twenty minutes of readings from the archive, the last of them at 1200 s. */
function adopted(): Desk {
  const desk = openDesk({ link: '', plain: null });
  deskStep(desk, { kind: 'adopt-hello', hello: SHED });
  for (let seq = 0; seq <= 1200; seq += 1) {
    const { board, boot } = SHED;
    const row = { at: START + seq * 1000, board, boot, seq, uptimeMs: seq * 1000, late: false };
    deskStep(desk, { kind: 'adopt', row });
  }
  return desk;
}

/** The board is heard again `lostS` later; the computer's clock has moved on by `clockMs` meanwhile. */
function again(lostS: number, clockMs: number) {
  const desk = adopted();
  const at = START + 1_200_000 + clockMs;
  const out: DeskOutput[] = [];
  out.push(...deskStep(desk, { kind: 'opened', at }));
  out.push(...deskStep(desk, { kind: 'line', at, text: formatBoardLine({ kind: 'hello', hello: SHED }) }));
  const seq = 1200 + lostS;
  out.push(...deskStep(desk, { kind: 'line', at: at + 10, text: reading(seq) }));
  return { desk, at, seq, out };
}

const readings = (out: DeskOutput[]) =>
  out.flatMap((output) => (output.kind === 'reading' ? [output.reading] : []));

describe('after a restart of the collector', () => {
  test('a clock that was set back is found to be behind, and the reading stands at its own time', () => {
    const { out } = again(600, 1);
    expect(out).toContainEqual(expect.objectContaining({ kind: 'behind', byMs: 599_989 }));
    expect(readings(out)).toEqual([expect.objectContaining({ at: START + 1_800_000, late: false })]);
  });

  test('what was missed lies between, in order, whatever the clock says', () => {
    const { desk, at, seq: newest } = again(600, 1);
    const came: DeskOutput[] = [];
    for (let seq = 1201; seq < newest; seq += 1)
      came.push(...deskStep(desk, { kind: 'line', at: at + 20, text: reading(seq) }));
    // Told that it is behind, the shell's clock goes on from the board's. Six readings after it the gap is timed.
    for (let n = 1; n <= 5; n += 1)
      came.push(...deskStep(desk, { kind: 'line', at: at + 599_999 + n * 1000, text: reading(newest + n) }));
    const filled = readings(came).flatMap((one) => (one.late ? [one.at] : []));
    expect(filled).toEqual(Array.from({ length: 599 }, (_, n) => START + 1_201_000 + n * 1000));
  });

  test('after a clock that was set forward by an hour the readings are not late for it', () => {
    const { desk, at, seq, out } = again(30, HOUR + 30_000);
    expect(out.some(({ kind }) => kind === 'behind')).toBe(false);
    const live = readings(out);
    for (let n = 1; n <= 60; n += 1)
      live.push(
        ...readings(deskStep(desk, { kind: 'line', at: at + 10 + n * 1000, text: reading(seq + n) })),
      );
    expect(live.map(({ late }) => late)).toEqual(Array.from({ length: 61 }, () => false));
    for (const [n, one] of live.entries()) expect(Math.abs(one.at - at - n * 1000)).toBeLessThanOrEqual(20);
  });

  test('a clock that ran on as it should changes nothing', () => {
    const { out } = again(600, 600_000);
    expect(out.some(({ kind }) => kind === 'behind')).toBe(false);
    expect(readings(out)).toEqual([expect.objectContaining({ at: START + 1_800_000 })]);
  });
});
