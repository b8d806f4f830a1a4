import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judge } from '../../collector/core/board-check/judge.ts';
import type { BoardFacts } from '../../protocol/board-facts.ts';
import { goodFacts, goodProbe } from './facts.ts';

/** Words of the findings that are not fine, as `probe:what` or `what`. */
function amiss(facts: BoardFacts, grade: 'mend' | 'mind' = 'mend'): string[] {
  return judge(facts)
    .findings.filter((finding) => finding.grade === grade)
    .map(({ probe, what }) => (probe === null ? what : `${probe}:${what}`));
}

const probes = (...list: BoardFacts['probes']) => ({ probes: list });
const hello = { board: 'shed-1', boot: '9F00C2A1', periodMs: 1000, keeps: 3600 };
const junction = (lastC: number) => ({
  coldJunction: { lastC, leastC: lastC - 0.1, mostC: lastC + 0.1, none: 0 },
});

describe('a board that is fit', () => {
  it('is called fit for a firing, says so of each part, and what was not tried', () => {
    const { verdict, sentence, findings, untried } = judge(goodFacts());
    expect(verdict).toBe('fit');
    expect(sentence).toBe('Fit for a firing.');
    expect(new Set(findings.map(({ grade }) => grade))).toEqual(new Set(['fine']));
    expect(findings.map(({ what }) => what)).toEqual(['steady', 'steady', 'box', 'line', 'answers', 'keeps']);
    expect(untried).toEqual([
      expect.stringMatching(/^Warm the tip of low, high in your hand.*must go up/),
      expect.stringMatching(/cable is pulled was not tried/),
    ]);
  });

  it.each<[string, Partial<BoardFacts>, string]>([
    [
      'a tip in a warm hand, which stands apart from the others',
      probes(goodProbe('low', { lastC: 31, roseC: 13 }), goodProbe('high')),
      'warms',
    ],
    ['a reopened link and the same boot', { cable: { how: 'reopened', remembers: true } }, 'remembers'],
    ['a pulled cable and the same boot', { cable: { how: 'pulled', remembers: true } }, 'remembers'],
  ])('%s is fine', (_what, part, what) => {
    const { verdict, findings } = judge(goodFacts(part));
    expect(verdict).toBe('fit');
    expect(findings.map((finding) => finding.what)).toContain(what);
  });

  it('does not promise for a pulled cable what only a reopened link has shown', () => {
    const reopened = judge(goodFacts({ cable: { how: 'reopened', remembers: true } })).findings;
    expect(reopened.find(({ what }) => what === 'remembers')?.text).toMatch(/pull the cable .* to be sure/);
    const pulled = judge(goodFacts({ cable: { how: 'pulled', remembers: true } })).findings;
    expect(pulled.find(({ what }) => what === 'remembers')?.text).toBe(
      'This board remembers when the cable is pulled.',
    );
  });
});

describe('what must be mended before the kiln is lit', () => {
  it.each<[string, Partial<BoardFacts>, string[]]>([
    [
      'nothing heard',
      { hello: null, readings: 0, probes: [], lines: { all: 0, bad: {}, torn: 0 } },
      ['silent'],
    ],
    [
      'lines but no hello',
      { hello: null, readings: 0, probes: [], lines: { all: 40, bad: { 'not-framed': 40 }, torn: 0 } },
      ['no-hello'],
    ],
    ['a hello and no reading', { readings: 0 }, ['no-readings']],
    [
      'an open couple',
      probes(goodProbe('low', { lastC: null, faults: { open: 30 } }), goodProbe('high')),
      ['low:open'],
    ],
    [
      'a short couple',
      probes(goodProbe('low', { lastC: null, faults: { short: 30 } }), goodProbe('high')),
      ['low:short'],
    ],
    [
      'a couple that comes and goes',
      probes(goodProbe('low', { faults: { open: 4 } }), goodProbe('high')),
      ['low:loose'],
    ],
    ['a noisy couple', probes(goodProbe('low', { noiseC: 6 }), goodProbe('high')), ['low:noisy']],
    [
      'a probe apart from two others',
      probes(goodProbe('low', { lastC: 40 }), goodProbe('high'), goodProbe('back')),
      ['low:apart'],
    ],
    [
      'of two, the one further from the board',
      probes(goodProbe('low', { lastC: 45 }), goodProbe('high', { lastC: 19 })),
      ['low:apart'],
    ],
    [
      'a tip that cools in the hand',
      probes(goodProbe('low', { lastC: 12, fellC: 8 }), goodProbe('high')),
      ['low:fell'],
    ],
    // Kiln at 2 °C, board at 20 °C: crossed wires show 38 °C.
    [
      'crossed wires in a frosty kiln',
      {
        ...junction(20),
        ...probes(
          goodProbe('low', { lastC: 38 }),
          goodProbe('high', { lastC: 2 }),
          goodProbe('back', { lastC: 2 }),
        ),
      },
      ['low:crossed'],
    ],
    // Kiln at 45 °C from yesterday, board at 20 °C: crossed wires show -5 °C.
    [
      'crossed wires of one of two in a lukewarm kiln',
      { ...junction(20), ...probes(goodProbe('low', { lastC: -5 }), goodProbe('high', { lastC: 45 })) },
      ['low:crossed'],
    ],
    [
      'no cold junction where one is needed',
      {
        coldJunction: { lastC: null, leastC: null, mostC: null, none: 30 },
        ...probes(goodProbe('low', { lastC: null, faults: { 'no-cold-junction': 30 } })),
      },
      ['no-cold-junction'],
    ],
    ['a hot box', junction(61), ['box-hot']],
    ['a box too cold to be true', { ...junction(-40) }, ['box-cold']],
    ['bad lines', { lines: { all: 100, bad: { 'bad-crc': 6, 'not-framed': 2 }, torn: 0 } }, ['bad-lines']],
    ['readings that never came', { skipped: 6 }, ['skipped']],
    ['a board that does not hear', { hellos: { asked: 5, answered: 0, tripMs: null } }, ['deaf']],
    [
      'a board that keeps nothing',
      { hello: { ...hello, keeps: 0 }, gives: { asked: 0, answered: 0, gone: 0, tripMs: null } },
      ['keeps-none'],
    ],
    [
      'a board that gives nothing',
      { gives: { asked: 4, answered: 0, gone: 0, tripMs: null } },
      ['gives-none'],
    ],
    [
      'a board that keeps less than it says',
      { gives: { asked: 4, answered: 4, gone: 2, tripMs: 12 } },
      ['keeps-fewer'],
    ],
    ['a clock that is far off', { clock: { fastPpm: 40_000, sdPpm: 300, overMs: 29_000 } }, ['clock']],
    ['restarts', { restarts: 1 }, ['restarts']],
    ['a board that forgets', { cable: { how: 'reopened', remembers: false } }, ['forgets']],
  ])('%s', (_what, part, mend) => {
    const facts = goodFacts(part);
    expect(amiss(facts)).toEqual(mend);
    const { verdict, sentence, findings } = judge(facts);
    expect(verdict).toBe('not-fit');
    expect(sentence).toBe('Not fit yet:');
    expect(findings[0]?.grade).toBe('mend');
  });

  it('says of a board that forgets what to do about it', () => {
    const [first] = judge(goodFacts({ cable: { how: 'pulled', remembers: false } })).findings;
    expect(first?.text).toMatch(/^This board forgets when the cable is pulled: give it a supply of its own/);
  });
});

describe('what is to be minded', () => {
  it.each<[string, Partial<BoardFacts>, string[]]>([
    ['a restless couple', probes(goodProbe('low', { noiseC: 2 }), goodProbe('high')), ['low:restless']],
    [
      'type B in a cold kiln',
      probes(goodProbe('low', { couple: 'B', lastC: null, faults: { 'too-cold': 30 } }), goodProbe('high')),
      ['low:too-cold'],
    ],
    ['the only probe far below the board', probes(goodProbe('low', { lastC: 1 })), ['low:colder']],
    ['one bad line', { lines: { all: 40, bad: { 'bad-crc': 1 }, torn: 0 } }, ['some-bad-lines']],
    ['one reading skipped', { skipped: 1 }, ['some-skipped']],
    ['few answers', { hellos: { asked: 6, answered: 2, tripMs: 20 } }, ['hard-of-hearing']],
    ['slow answers', { hellos: { asked: 6, answered: 6, tripMs: 2_600 } }, ['slow']],
    ['another period than it says', { pace: { medianMs: 2000, lowMs: 1990, highMs: 2010 } }, ['odd-period']],
    ['fits and starts', { pace: { medianMs: 1000, lowMs: 20, highMs: 1900 } }, ['uneven-pace']],
    ['a box in the sun', { coldJunction: { lastC: 24, leastC: 20, mostC: 24, none: 0 } }, ['box-restless']],
    ['a link that has not come back', { cable: { how: 'pulled', remembers: null } }, ['cable-waits']],
    [
      'a board that just prints numbers of type K',
      { hello: null, plain: true, clock: null },
      ['plain', 'straight-line'],
    ],
  ])('%s', (_what, part, mind) => {
    const facts = goodFacts(part);
    expect(amiss(facts)).toEqual([]);
    expect(amiss(facts, 'mind')).toEqual(mind);
    expect(judge(facts).sentence).toBe('Fit for a firing, but mind:');
  });

  it('takes lines before the hello for whole, and a clock that is not sure to be off for good', () => {
    const facts = goodFacts({
      lines: { all: 40, bad: { 'before-hello': 3 }, torn: 0 },
      clock: { fastPpm: 50_000, sdPpm: 20_000, overMs: 29_000 },
    });
    expect(judge(facts).sentence).toBe('Fit for a firing.');
  });

  it('lets probes differ in a kiln that was lit', () => {
    const lit = probes(
      goodProbe('low', { lastC: 180 }),
      goodProbe('high', { lastC: 240 }),
      goodProbe('back', { lastC: 300 }),
    );
    expect(judge(goodFacts(lit)).verdict).toBe('fit');
  });
});

describe('the verdict', () => {
  it('waits for readings', () => {
    expect(judge(goodFacts({ readings: 3, heardForMs: 3_000 })).verdict).toBe('listening');
    const nothing = { hello: null, readings: 0, probes: [], lines: { all: 0, bad: {}, torn: 0 } };
    expect(judge(goodFacts({ ...nothing, heardForMs: 2_000 })).verdict).toBe('listening');
    expect(judge(goodFacts({ ...nothing, heardForMs: 12_000 })).verdict).toBe('not-fit');
  });

  it('is never better with one more thing amiss', () => {
    const spoil: ((facts: BoardFacts) => BoardFacts)[] = [
      (facts) => ({ ...facts, skipped: 9 }),
      (facts) => ({ ...facts, restarts: 1 }),
      (facts) => ({ ...facts, lines: { all: 100, bad: { 'bad-crc': 9 }, torn: 0 } }),
      (facts) => ({
        ...facts,
        probes: [...facts.probes, goodProbe('back', { lastC: null, faults: { open: 30 } })],
      }),
      (facts) => ({ ...facts, cable: { how: 'pulled', remembers: false } }),
    ];
    fc.assert(
      fc.property(fc.subarray(spoil), fc.constantFrom(...spoil), (some, one) => {
        const before = some.reduce((facts, fn) => fn(facts), goodFacts());
        const mended = (facts: BoardFacts) => amiss(facts).length;
        const after = one(before);
        expect(mended(after)).toBeGreaterThanOrEqual(mended(before));
        expect(judge(after).verdict).toBe('not-fit');
      }),
    );
  });

  it('puts what must be mended first, each in a sentence or two', () => {
    const facts = goodFacts({
      restarts: 1,
      skipped: 1,
      ...probes(goodProbe('low', { noiseC: 6 }), goodProbe('high')),
    });
    const { findings } = judge(facts);
    expect(findings.map(({ grade }) => grade).join(' ')).toMatch(/^mend mend mind( fine)+$/);
    for (const { text } of findings) expect(text).toMatch(/[.]$/);
  });
});
