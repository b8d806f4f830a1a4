import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factsOf } from '../../collector/core/board-check/facts.ts';
import {
  type Gathering,
  gather,
  newGathering,
  nextQuestion,
} from '../../collector/core/board-check/gather.ts';
import { judge } from '../../collector/core/board-check/judge.ts';
import { type BoardLine, formatBoardLine, type Hello } from '../../protocol/board-lines.ts';
import type { RawValue } from '../../protocol/probes.ts';

const START = Date.UTC(2031, 2, 8, 5);
const HELLO: Hello = {
  board: 'shed-1',
  boot: '9F00C2A1',
  periodMs: 1000,
  keeps: 100,
  probes: [
    { name: 'low', couple: 'K', form: { kind: 'deg' } },
    { name: 'high', couple: 'S', form: { kind: 'deg' } },
  ],
};

function started(hello: Hello | null = HELLO): Gathering {
  const state = newGathering('shed', null);
  gather(state, { kind: 'standing', at: START, gone: false, text: 'It is open.' });
  if (hello) say(state, 0, { kind: 'hello', hello });
  return state;
}

function say(state: Gathering, afterMs: number, line: BoardLine): void {
  gather(state, { kind: 'line', at: START + afterMs, text: formatBoardLine(line) });
}

function read(
  state: Gathering,
  seq: number,
  values: RawValue[] = [18, 18.5],
  afterMs = 1000 * (seq + 1),
): void {
  say(state, afterMs, { kind: 'reading', seq, uptimeMs: 1000 * seq, coldJunctionC: 20, values });
}

const facts = (state: Gathering, afterMs: number) => factsOf(state, START + afterMs, 60_000);

describe('what is gathered of a board', () => {
  it('has the figures of each probe, and counts what gave none', () => {
    const state = started();
    for (let seq = 0; seq < 20; seq += 1) read(state, seq, [18 + (seq % 2), seq < 5 ? '!open' : 19]);
    const { probes, coldJunction, readings, hello } = facts(state, 20_500);
    expect(hello).toEqual({ board: 'shed-1', boot: '9F00C2A1', periodMs: 1000, keeps: 100 });
    expect(readings).toBe(20);
    // Alternating by 1 °C: each lies 1 °C off the line through its neighbours, 1 / sqrt(1.5) by the estimator.
    expect(probes[0]).toMatchObject({
      name: 'low',
      form: 'deg',
      lastC: 19,
      leastC: 18,
      mostC: 19,
      faults: {},
    });
    expect(probes[0]?.noiseC).toBeCloseTo(Math.sqrt(2 / 3), 6);
    expect(probes[1]).toMatchObject({ lastC: 19, noiseC: 0, faults: { open: 5 } });
    expect(coldJunction).toEqual({ lastC: 20, leastC: 20, mostC: 20, none: 0 });
  });

  it('sees a hand at the tip, and wires that are crossed', () => {
    const state = started();
    for (let seq = 0; seq < 30; seq += 1) {
      const handC = Math.max(0, Math.min(10, seq - 8));
      read(state, seq, [18 + handC, 18 - handC]);
    }
    const [low, high] = facts(state, 30_500).probes;
    expect(low?.roseC).toBeCloseTo(10, 6);
    expect(low?.fellC).toBe(0);
    expect(high?.fellC).toBeCloseTo(10, 6);
  });

  it('counts lines that came in broken, and what was torn', () => {
    const state = started();
    read(state, 0);
    for (const text of ['$R,1,1000,20,18,18*0000', 'hello there', '', '$R,1,1000,20,18*9B1A'])
      gather(state, { kind: 'line', at: START + 2_000, text });
    gather(state, { kind: 'torn', at: START + 2_100 });
    const { lines } = facts(state, 3_000);
    expect(lines.all).toBe(6);
    expect(lines.bad['bad-crc']).toBe(2);
    expect(lines.bad['not-framed']).toBe(1);
    expect(lines.torn).toBe(1);
  });

  it('knows readings that never came from those that came late', () => {
    const state = started();
    for (const seq of [0, 1, 2, 6, 7]) read(state, seq);
    expect(facts(state, 8_500).skipped).toBe(3);
    read(state, 4, [18, 18.5], 8_600);
    expect(facts(state, 8_700).skipped).toBe(2);
    expect(facts(state, 8_700).readings).toBe(5);
  });

  it('carries counters on past 2^32', () => {
    const state = started();
    for (let i = 0; i < 12; i += 1)
      say(state, 1000 * i, {
        kind: 'reading',
        seq: (2 ** 32 - 4 + i) >>> 0,
        uptimeMs: (2 ** 32 - 5_500 + 1000 * i) >>> 0,
        coldJunctionC: 20,
        values: [18 + i, 18],
      });
    const { skipped, readings, probes, clock } = facts(state, 12_000);
    expect({ skipped, readings, noiseC: probes[0]?.noiseC }).toEqual({ skipped: 0, readings: 12, noiseC: 0 });
    expect(clock?.fastPpm).toBeCloseTo(0, 6);
  });

  it('tells how fast the board’s clock runs, and how sure that is', () => {
    const state = started();
    // 1 % fast: of its seconds 1010 pass in 1000 of ours. Arrivals are late by 0 to 20 ms.
    for (let seq = 0; seq < 60; seq += 1)
      read(state, seq, [18, 18], Math.round((1000 * seq) / 1.01) + ((seq * 7) % 21));
    const { clock, pace } = facts(state, 60_000);
    expect(clock?.fastPpm).toBeGreaterThan(9_700);
    expect(clock?.fastPpm).toBeLessThan(10_300);
    expect(clock?.sdPpm).toBeLessThan(100);
    expect(pace?.medianMs).toBeGreaterThan(980);
    expect(pace?.medianMs).toBeLessThan(1000);
  });

  it('looks back over its window alone', () => {
    const state = started();
    for (let seq = 0; seq < 200; seq += 1) read(state, seq, [seq < 100 ? '!open' : 18, 18]);
    const { readings, probes } = facts(state, 200_500);
    expect(readings).toBe(60);
    expect(probes[0]?.faults).toEqual({});
  });
});

describe('questions and answers', () => {
  const ask = (state: Gathering, afterMs: number, question: ReturnType<typeof nextQuestion>) => {
    if (question) gather(state, { kind: 'sent', at: START + afterMs, line: question });
  };

  it('asks in turn for a hello, the reading before the newest, and the oldest that should be kept', () => {
    const state = started();
    for (let seq = 0; seq < 150; seq += 1) read(state, seq);
    const asked: unknown[] = [];
    for (let i = 0; i < 5; i += 1) {
      const at = 150_000 + 3_000 * i;
      const question = nextQuestion(state, START + at);
      asked.push(question);
      ask(state, at, question);
      expect(nextQuestion(state, START + at + 1_000)).toBeNull();
    }
    expect(asked).toEqual([
      { kind: 'hello?' },
      { kind: 'give', from: 148, to: 148 },
      { kind: 'hello?' },
      { kind: 'give', from: 51, to: 51 },
      { kind: 'hello?' },
    ]);
  });

  it('asks nothing but hello of a board that keeps nothing, and nothing at all of one that just prints numbers', () => {
    const state = started({ ...HELLO, keeps: 0 });
    for (let seq = 0; seq < 10; seq += 1) read(state, seq);
    ask(state, 10_000, { kind: 'hello?' });
    expect(nextQuestion(state, START + 14_000)).toEqual({ kind: 'hello?' });
    const plain = newGathering('shed', { probes: [{ name: 'low', couple: 'K' }], unit: 'F' });
    gather(plain, { kind: 'line', at: START, text: '50' });
    expect(nextQuestion(plain, START + 10_000)).toBeNull();
    expect(factsOf(plain, START + 100).probes[0]).toMatchObject({ name: 'low', lastC: 10 });
  });

  it('times the way there and back, and counts what was not answered', () => {
    const state = started();
    for (let seq = 0; seq < 10; seq += 1) read(state, seq);
    ask(state, 10_000, { kind: 'hello?' });
    say(state, 10_030, { kind: 'hello', hello: HELLO });
    ask(state, 13_000, { kind: 'give', from: 8, to: 8 });
    read(state, 8, [18, 18.5], 13_050);
    ask(state, 16_000, { kind: 'hello?' });
    const now = facts(state, 20_000);
    expect(now.hellos).toEqual({ asked: 2, answered: 1, tripMs: 30 });
    expect(now.gives).toEqual({ asked: 1, answered: 1, gone: 0, tripMs: 50 });
    // A question that was put this moment is not one without an answer.
    expect(facts(state, 16_500).hellos.asked).toBe(1);
  });

  it('notes a reading that is gone though it should be kept, and none that may be', () => {
    const state = started();
    for (let seq = 0; seq < 150; seq += 1) read(state, seq);
    for (const from of [100, 20]) {
      ask(state, 150_000, { kind: 'give', from, to: from });
      say(state, 150_040, { kind: 'missing', from, to: from });
    }
    expect(facts(state, 160_000).gives).toMatchObject({ asked: 2, answered: 2, gone: 1 });
  });
});

describe('the cable', () => {
  const again = { ...HELLO, boot: '00000001' };
  it.each([
    ['the same boot', HELLO, true],
    ['another boot', again, false],
  ])('compares the boot after the link was opened again: %s', (_what, hello, remembers) => {
    const state = started();
    read(state, 0);
    gather(state, { kind: 'reopening', at: START + 2_000 });
    expect(facts(state, 2_100).cable).toEqual({ how: 'reopened', remembers: null });
    gather(state, { kind: 'standing', at: START + 2_200, gone: false, text: 'Opening.' });
    say(state, 3_000, { kind: 'hello', hello });
    const { cable, restarts } = facts(state, 4_000);
    expect(cable).toEqual({ how: 'reopened', remembers });
    expect(restarts).toBe(0);
  });

  it('sees a pulled cable, and what the board knows after it', () => {
    const state = started();
    read(state, 0);
    gather(state, { kind: 'standing', at: START + 2_000, gone: true, text: 'It was unplugged.' });
    gather(state, { kind: 'standing', at: START + 9_000, gone: false, text: 'It is open.' });
    expect(facts(state, 9_100).cable).toEqual({ how: 'pulled', remembers: null });
    say(state, 9_200, { kind: 'hello', hello: again });
    expect(facts(state, 9_300).cable).toEqual({ how: 'pulled', remembers: false });
  });

  it('calls a new boot with the cable in a restart', () => {
    const state = started();
    read(state, 0);
    say(state, 3_000, { kind: 'hello', hello: again });
    expect(facts(state, 4_000)).toMatchObject({ restarts: 1, cable: null });
  });
});

it('takes any line without a throw, and judges what comes of it', () => {
  const anyLine = fc.oneof(
    fc.string({ maxLength: 60 }),
    fc
      .record({ seq: fc.nat(), uptimeMs: fc.nat(), value: fc.double({ min: -300, max: 2000, noNaN: true }) })
      .map(({ seq, uptimeMs, value }) =>
        formatBoardLine({ kind: 'reading', seq, uptimeMs, coldJunctionC: 20, values: [value, value] }),
      ),
    fc.constantFrom(
      formatBoardLine({ kind: 'hello', hello: HELLO }),
      formatBoardLine({ kind: 'missing', from: 0, to: 9 }),
    ),
  );
  fc.assert(
    fc.property(fc.array(anyLine, { maxLength: 60 }), (lines) => {
      const state = started(null);
      lines.forEach((text, i) => {
        gather(state, { kind: 'line', at: START + 500 * i, text });
        const question = nextQuestion(state, START + 500 * i);
        if (question) gather(state, { kind: 'sent', at: START + 500 * i, line: question });
      });
      const made = factsOf(state, START + 40_000);
      expect(made.lines.all).toBe(lines.length);
      expect(['fit', 'not-fit', 'listening']).toContain(judge(made).verdict);
    }),
  );
});
