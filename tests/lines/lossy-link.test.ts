import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { ReadingInput } from '../../collector/core/inputs.ts';
import { type DeskOutput, deskStep, openDesk } from '../../collector/lines/desk.ts';
import type { DeskInput } from '../../collector/lines/desk-types.ts';
import { type FakeBoard, fakeBoard, type LinkFaults, randomFrom } from './fake-board.ts';

const START = Date.UTC(2031, 2, 8, 5);
const STEP_MS = 100;

/** What befalls the board and its link, from a second on. */
type Event = { second: number } & (
  | { what: 'faults'; faults: LinkFaults }
  | { what: 'restart' }
  | { what: 'unplug' }
  | { what: 'plug' }
);

interface Run {
  inputs: DeskInput[];
  outputs: DeskOutput[];
  readings: ReadingInput[];
  board: FakeBoard;
}

/** Lets board, link and desk go on for `seconds`. */
function run(board: FakeBoard, events: readonly Event[], seconds: number): Run {
  const desk = openDesk({ link: 'test', plain: null });
  const inputs: DeskInput[] = [];
  const outputs: DeskOutput[] = [];
  const feed = (now: number, input: DeskInput) => {
    inputs.push(input);
    for (const output of deskStep(desk, input)) {
      outputs.push(output);
      if (output.kind === 'send') board.hear(now, output.line);
    }
  };
  const pending = [...events].sort((a, b) => a.second - b.second);
  feed(START, { kind: 'opened', at: START });
  for (let now = START; now <= START + seconds * 1000; now += STEP_MS) {
    board.advance(now);
    for (let event = pending[0]; event && START + event.second * 1000 <= now; event = pending[0]) {
      pending.shift();
      befall(board, event, now, feed);
    }
    while ((board.onTheWay[0]?.at ?? Number.POSITIVE_INFINITY) <= now) {
      const line = board.onTheWay.shift();
      if (line) feed(now, { kind: 'line', at: line.at, text: line.text });
    }
    if ((now - START) % 1000 === 0) feed(now, { kind: 'tick', at: now });
  }
  const readings = outputs.flatMap((output) => (output.kind === 'reading' ? [output.reading] : []));
  return { inputs, outputs, readings, board };
}

function befall(
  board: FakeBoard,
  event: Event,
  now: number,
  feed: (now: number, input: DeskInput) => void,
): void {
  if (event.what === 'faults') board.faults = event.faults;
  if (event.what === 'restart') board.restart(now);
  if (event.what === 'unplug') {
    board.out = true;
    board.onTheWay = [];
    feed(now, { kind: 'closed', at: now });
  }
  if (event.what === 'plug') {
    board.out = false;
    feed(now, { kind: 'opened', at: now });
  }
}

/** What must hold whatever happens. `offMs`: how far a time may be off. */
function check({ outputs, readings, board }: Run, offMs: number): void {
  const key = (boot: string, seq: number) => `${boot}/${seq}`;
  const made = new Map(board.made.map((reading) => [key(reading.boot, reading.seq), reading]));
  const given = new Set<string>();
  let liveAt = Number.NEGATIVE_INFINITY;
  for (const { boot, seq, values, at, late } of readings) {
    const truth = made.get(key(boot, seq));
    expect(truth, 'was made').toBeDefined();
    expect(given.has(key(boot, seq)), 'is given out once').toBe(false);
    given.add(key(boot, seq));
    expect(values).toEqual([{ probe: 'low', raw: truth?.value }]);
    expect(Math.abs(at - (truth?.at ?? 0)), `time of ${key(boot, seq)}`).toBeLessThanOrEqual(offMs);
    if (!late) {
      expect(at).toBeGreaterThan(liveAt);
      liveAt = at;
    }
  }
  const missing = new Set<string>();
  for (const output of outputs)
    if (output.kind === 'missing')
      for (let seq = output.from; ; seq = (seq + 1) >>> 0) {
        missing.add(key(output.boot, seq));
        if (seq === output.to) break;
      }
  // Of each boot, everything from the first to the last reading given out is either given out or told to be missing.
  const madeKeys = [...made.keys()];
  for (const boot of new Set(readings.map((reading) => reading.boot))) {
    const ofBoot = madeKeys.filter((name) => name.startsWith(boot));
    const first = ofBoot.findIndex((name) => given.has(name));
    const last = ofBoot.findLastIndex((name) => given.has(name));
    for (const name of ofBoot.slice(first, last))
      expect(given.has(name) || missing.has(name), name).toBe(true);
  }
}

const GOOD: LinkFaults = { lost: 0, garbled: 0, delayMs: 20 };

const faults = fc.record({
  lost: fc.constantFrom(0, 0.05, 0.2),
  garbled: fc.constantFrom(0, 0.05, 0.2),
  delayMs: fc.constantFrom(1, 30, 200),
});

const events = fc.uniqueArray(
  fc.oneof(
    fc.record({ what: fc.constant('faults' as const), second: fc.nat({ max: 200 }), faults }),
    fc.record({ what: fc.constant('unplug' as const), second: fc.nat({ max: 150 }) }),
  ),
  { maxLength: 6, selector: ({ what, second }) => `${what} ${second}` },
);

// One only: readings of a boot that was over before its hello came through cannot be told from the next one's.
const restart = fc
  .option(fc.constantFrom(40, 90, 160))
  .map((second): Event[] => (second === null ? [] : [{ what: 'restart', second }]));

describe('over a bad link, with a restart', () => {
  test('what is given out was made, once, at its time, and what is not is told to be missing', () => {
    fc.assert(
      fc.property(
        events,
        restart,
        fc.nat(),
        fc.constantFrom(0.995, 1, 1.004),
        (befalls, restarts, seed, rate) => {
          const plugs = befalls.flatMap(({ what, second }): Event[] =>
            what === 'unplug' ? [{ what: 'plug', second: second + 40 }] : [],
          );
          const board = fakeBoard(randomFrom(seed), {
            keeps: 100,
            periodMs: 1000,
            rate,
            startedAt: START - 700,
          });
          const all: Event[] = [
            ...befalls,
            ...restarts,
            ...plugs,
            { what: 'plug', second: 201 },
            { what: 'faults', second: 201, faults: GOOD },
          ];
          const done = run(board, all, 300);
          check(done, 2000);
          // In the quiet minute at the end nothing is lost any more.
          const last = board.made.filter(({ at }) => at > START + 210_000 && at < START + 298_000);
          const seqs = new Set(
            done.readings.filter(({ boot }) => boot === board.hello.boot).map(({ seq }) => seq),
          );
          for (const { seq } of last) expect(seqs.has(seq), `seq ${seq}`).toBe(true);
        },
      ),
      { numRuns: 40 },
    );
  });

  test('over the roll-over of seq and of uptime', () => {
    const noisy: LinkFaults = { lost: 0.1, garbled: 0.1, delayMs: 30 };
    for (let seed = 1; seed <= 5; seed += 1) {
      const board = fakeBoard(randomFrom(seed), {
        keeps: 100,
        periodMs: 1000,
        rate: 1.001,
        startedAt: START,
        firstSeq: 2 ** 32 - 50,
        firstUptimeMs: 2 ** 32 - 100_000,
      });
      const done = run(
        board,
        [
          { what: 'faults', second: 0, faults: noisy },
          { what: 'faults', second: 160, faults: GOOD },
        ],
        200,
      );
      check(done, 1000);
      expect(done.readings.filter(({ late }) => late).length).toBeGreaterThan(10);
      const first = board.made.findIndex(({ seq }) => seq === done.readings[0]?.seq);
      expect(done.readings).toHaveLength(board.made.length - first);
    }
  });

  test('an outage of an hour is made good as far as the board keeps its readings', () => {
    const board = fakeBoard(randomFrom(3), { keeps: 3000, periodMs: 1000, rate: 0.997, startedAt: START });
    const done = run(
      board,
      [
        { what: 'faults', second: 0, faults: GOOD },
        { what: 'unplug', second: 900 },
        { what: 'plug', second: 4500 },
      ],
      4600,
    );
    check(done, 700);
    const told = done.outputs.flatMap((output) =>
      output.kind === 'missing' ? [output.to - output.from + 1] : [],
    );
    const missing = told.reduce((sum, count) => sum + count, 0);
    expect(missing).toBeGreaterThan(550);
    expect(missing).toBeLessThan(610);
    expect(done.readings.length + missing).toBeGreaterThanOrEqual(board.made.length - 1);
  });
});

test('the same inputs give the same outputs', () => {
  const board = fakeBoard(randomFrom(9), { keeps: 100, periodMs: 1000, rate: 1.003, startedAt: START });
  const noisy: LinkFaults = { lost: 0.2, garbled: 0.2, delayMs: 100 };
  const { inputs, outputs } = run(
    board,
    [
      { what: 'faults', second: 1, faults: noisy },
      { what: 'restart', second: 60 },
    ],
    120,
  );
  const again = openDesk({ link: 'test', plain: null });
  expect(inputs.flatMap((input) => deskStep(again, input))).toEqual(outputs);
});

test('a megabyte of random bytes gives no reading and no exception', () => {
  const random = randomFrom(1);
  const bytes = Uint8Array.from({ length: 2 ** 20 }, () => Math.floor(random() * 256));
  const desk = openDesk({ link: 'test', plain: null });
  const kinds = new Set<string>();
  const feed = (input: DeskInput) => {
    for (const output of deskStep(desk, input)) kinds.add(output.kind);
  };
  feed({ kind: 'opened', at: START });
  feed({ kind: 'line', at: START, text: '$B,1,shed-1,9F00C2A1,1000,3600,low:K:uv,high:S:uv*D916' });
  const lines = new TextDecoder('latin1').decode(bytes).split('\n');
  lines.forEach((text, i) => {
    feed({ kind: 'line', at: START + i * 10, text });
    if (i % 100 === 0) feed({ kind: 'tick', at: START + i * 10 });
  });
  expect(lines.length).toBeGreaterThan(3000);
  expect(desk.counts.lines).toBe(lines.length + 1);
  expect([...kinds].sort()).toEqual(['bad', 'hello', 'reopen', 'send', 'silent']);
});
