/** A process that was held up is no silent board. */
import { describe, expect, it } from 'vitest';
import { heardToAt, lookedAgain, newLateLoop } from '../../collector/firing/late-loop.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { SHED, scriptedWatch } from './scripted-watch.ts';

/** As the scripted board reads: never the same twice, as a live couple. */
const reading = (seq: number) =>
  formatBoardLine({
    kind: 'reading',
    seq,
    uptimeMs: seq * 1000,
    coldJunctionC: 20,
    values: [20 + seq / 100],
  });

describe('up to when all has been heard', () => {
  it('is the present while the process looks often', () => {
    const loop = newLateLoop(0, 1);
    for (let at = 250; at <= 5000; at += 250) lookedAgain(loop, at);
    expect(heardToAt(loop, 5100)).toBe(5100);
  });

  it('is the last look before it was held up, until it has had time to read what lies there', () => {
    const loop = newLateLoop(0, 1);
    lookedAgain(loop, 250);
    expect(heardToAt(loop, 20_000)).toBe(250);
    const told = [20_000, 20_250, 20_500, 20_750].map((at) => {
      lookedAgain(loop, at);
      return heardToAt(loop, at);
    });
    expect(told).toEqual([250, 250, 250, 20_750]);
  });
});

describe('a watch that was held up', () => {
  it('for twenty seconds finds no silence where the board went on', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(30);
    const { clock, link, said } = scripted;
    // Nothing ran for twenty seconds: what came meanwhile is read at once.
    clock.skip(20_000);
    for (let seq = 30; seq < 50; seq += 1) link.line(clock.now(), reading(seq));
    for (let seq = 50; seq < 60; seq += 1) {
      clock.advance(1000);
      link.line(clock.now(), reading(seq));
    }
    expect(said.filter((text) => text.includes('says nothing'))).toEqual([]);
    expect(scripted.firing.feed.beat().links[0]?.state).toBe('open');
  });

  it('finds one where the board is silent indeed', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(30);
    scripted.clock.skip(20_000);
    scripted.clock.advance(5000);
    expect(scripted.said.some((text) => text.includes('says nothing'))).toBe(true);
  });
});

it('an hour of sleep: all that the board still keeps is asked for, in order, and lands at its own time', async () => {
  const scripted = await scriptedWatch();
  const { clock, link, sent, firing } = scripted;
  const keeps = 3000;
  scripted.hello({ ...SHED, keeps });
  scripted.readings(900);
  clock.skip(3_600_000);
  const newest = 900 + 3600;
  const asked = new Set<number>();
  let answered = 0;
  /** What was asked for is given, but for what the board keeps no longer. */
  const answer = () => {
    for (; answered < sent.length; answered += 1) {
      const range = /^\$G,(\d+),(\d+)\*/.exec(sent[answered] ?? '');
      if (!range) continue;
      for (let seq = Number(range[1]); seq <= Number(range[2]); seq += 1) {
        asked.add(seq);
        link.line(
          clock.now(),
          seq >= newest - keeps ? reading(seq) : formatBoardLine({ kind: 'missing', from: seq, to: seq }),
        );
      }
    }
  };
  for (let seq = newest; seq < newest + 60; seq += 1) {
    link.line(clock.now(), reading(seq));
    answer();
    clock.advance(1000);
  }
  const inOrder = [...asked];
  expect(inOrder[0]).toBe(newest - keeps);
  expect(inOrder).toEqual([...inOrder].sort((a, b) => a - b));
  expect(asked.size).toBe(keeps);
  const curve = firing.feed.curve({ width: 10_000 });
  const low = curve.probes[0]?.tempC ?? [];
  // 600 readings are gone: one gap, from the last before the sleep to the first that the board still had.
  const gap = low.flatMap((cell, row) => (cell === null ? [curve.at[row] ?? 0] : []));
  expect(gap.length).toBeGreaterThan(0);
  const first = firing.startedAt;
  expect(Math.min(...gap)).toBeGreaterThan(first + 899_000);
  expect(Math.max(...gap)).toBeLessThan(first + (newest - keeps + 1) * 1000);
  expect(scripted.said.some((text) => /^Readings 900 to 1499 .* are gone/.test(text))).toBe(true);
});
