/** Alerts of the instruments: probes, board, link, archive. All figures are our own choice. */
import { describe, expect, it } from 'vitest';
import { archiveTrouble, boardHot, linkSilent, probeFault } from '../../alerts/rules/instruments.ts';
import { STAGES } from '../../protocol/stages.ts';
import {
  boardView,
  probeView,
  SECOND_MS,
  type Shown,
  type Span,
  START_MS,
  turns,
  viewOf,
  watch,
} from '../support/kiln.ts';

type Spans = Span[];

describe('probe-fault', () => {
  const probe = (fault: string | null, rest: Shown = {}, pulled = false): Shown => ({
    ...rest,
    probes: [probeView({ fault, pulled }), probeView({ probe: 'high' })],
  });
  const OPEN = 'its circuit is open.';

  it.each<{ what: string; spans: Spans; told: string[] }>([
    { what: 'after 30 s', spans: [{ forS: 60, shown: probe(OPEN) }], told: ['30 raised low'] },
    {
      what: 'not for less',
      spans: [
        { forS: 30, shown: probe(OPEN) },
        { forS: 60, shown: probe(null) },
      ],
      told: [],
    },
    {
      what: 'cleared when it has read for 2 min',
      spans: [
        { forS: 60, shown: probe(OPEN) },
        { forS: 200, shown: probe(null) },
      ],
      told: ['30 raised low', '180 cleared low'],
    },
    {
      what: 'stays up while it comes and goes',
      spans: [
        { forS: 60, shown: probe(OPEN) },
        { forS: 100, shown: probe(null) },
        { forS: 10, shown: probe('loose') },
        { forS: 100, shown: probe(null) },
      ],
      told: ['30 raised low'],
    },
    { what: 'not when it is pulled', spans: [{ forS: 60, shown: probe(OPEN, {}, true) }], told: [] },
    {
      what: 'ends when it is pulled',
      spans: [
        { forS: 60, shown: probe(OPEN) },
        { forS: 200, shown: probe(OPEN, {}, true) },
      ],
      told: ['30 raised low', '180 cleared low'],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(probeFault, spans))).toEqual(told);
  });

  it.each(STAGES.map((stage) => ({ stage, raised: stage !== 'open' })))(
    'in $stage: $raised',
    ({ stage, raised }) => {
      expect(turns(watch(probeFault, [{ forS: 60, shown: probe(OPEN, { stage }) }]))).toEqual(
        raised ? ['30 raised low'] : [],
      );
    },
  );

  it('tells a doubt too, and the fault where there are both', () => {
    const shown = (changes: Parameters<typeof probeView>[0]): Shown => ({ probes: [probeView(changes)] });
    const texts = (changes: Parameters<typeof probeView>[0]) =>
      watch(probeFault, [{ forS: 60, shown: shown(changes) }]).map(({ text }) => text);
    expect(texts({ doubt: 'it jumped.' })).toEqual(['Probe low: it jumped.']);
    expect(texts({ doubt: 'it jumped.', fault: OPEN })).toEqual([`Probe low: ${OPEN}`]);
    expect(texts({ doubt: 'it jumped.', pulled: true })).toEqual([]);
  });

  it.each([
    {
      coldDoubt: 'range' as const,
      words: /^Board b-2 takes itself to be colder or hotter than a box can be\. /,
    },
    { coldDoubt: 'jump' as const, words: /^Board b-2 has a temperature of its own that jumps, / },
  ])('tells of a board whose own temperature cannot be right: $coldDoubt', ({ coldDoubt, words }) => {
    const board = (doubt: typeof coldDoubt | null): Shown => ({
      boards: [boardView(), boardView({ board: 'b-2', coldDoubt: doubt })],
    });
    const changes = watch(probeFault, [
      { forS: 60, shown: board(coldDoubt) },
      { forS: 200, shown: board(null) },
    ]);
    expect(turns(changes)).toEqual(['30 raised', '180 cleared']);
    expect(changes[0]?.text).toMatch(words);
    expect(changes[0]?.text).toMatch(/go by the cones\.$/);
    expect(changes[1]?.text).toBe('The board gives a sound temperature again.');
  });

  it('says which and what, and why it is over', () => {
    const texts = (after: Shown) =>
      watch(probeFault, [
        { forS: 60, shown: probe(OPEN) },
        { forS: 200, shown: after },
      ]).map(({ text }) => text);
    expect(texts(probe(null))).toEqual(['Probe low: its circuit is open.', 'Probe low reads again.']);
    expect(texts(probe(null, {}, true))[1]).toBe('Probe low was pulled.');
    expect(texts(probe(OPEN, { stage: 'open' }))[1]).toBe('The kiln is open.');
  });
});

describe('board-hot', () => {
  const box =
    (...temps: (number | null)[]) =>
    (at: number): Shown => ({
      boards: temps.map((coldJunctionC, i) =>
        boardView({ board: `b${i}`, coldJunctionC, lastReadingAt: at }),
      ),
    });
  /** A board that is hot and not heard since the start, and what is heard beside it. */
  const hotAndSilent =
    (beside: (at: number) => Shown = () => ({ boards: [] })) =>
    (at: number): Shown => ({
      boards: [
        boardView({ board: 'hot', coldJunctionC: 65, lastReadingAt: START_MS }),
        ...(beside(at).boards ?? []),
      ],
    });

  it.each<{ what: string; spans: Spans; told: string[] }>([
    { what: 'at 60 °C for 30 s', spans: [{ forS: 60, shown: box(60) }], told: ['30 raised'] },
    { what: 'not below', spans: [{ forS: 60, shown: box(59.9) }], told: [] },
    {
      what: 'cleared below 55 °C',
      spans: [
        { forS: 60, shown: box(61) },
        { forS: 60, shown: box(54.9) },
      ],
      told: ['30 raised', '90 cleared'],
    },
    {
      what: 'stays up between',
      spans: [
        { forS: 60, shown: box(61) },
        { forS: 600, shown: box(55) },
      ],
      told: ['30 raised'],
    },
    {
      what: 'by the hottest of several',
      spans: [{ forS: 60, shown: box(20, null, 65) }],
      told: ['30 raised'],
    },
    {
      what: 'over once the hot board is not heard any more and another is in its place',
      spans: [
        { forS: 60, shown: box(65) },
        { forS: 120, shown: hotAndSilent(box(20)) },
      ],
      told: ['30 raised', '90 cleared'],
    },
    {
      what: 'no more and no less, while no board is heard',
      spans: [
        { forS: 60, shown: box(65) },
        { forS: 120, shown: hotAndSilent() },
      ],
      told: ['30 raised'],
    },
    {
      what: 'not where no board says',
      spans: [
        { forS: 60, shown: box(null) },
        { forS: 60, shown: { boards: [] } },
      ],
      told: [],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(boardHot, spans))).toEqual(told);
  });

  it('goes on to say how hot it is now', () => {
    const said = (tempC: number) => boardHot.judge(viewOf(box(tempC)(START_MS)))[0]?.text();
    expect(said(61)).toContain('142 °F (61 °C)');
    expect(said(74)).toContain('165 °F (74 °C)');
  });

  it('says how hot and what to do', () => {
    const [raised] = watch(boardHot, [{ forS: 60, shown: box(61) }]);
    expect(raised?.text).toBe(
      'The logger box is at 142 °F (61 °C). Move it away from the kiln, or shade it.',
    );
  });
});

describe('link-silent', () => {
  const heard = (secondsAfterStart: number, periodMs = 1000, rest: Shown = {}): Shown => ({
    boards: [boardView({ periodMs, lastReadingAt: START_MS + secondsAfterStart * SECOND_MS })],
    ...rest,
  });

  it.each<{ what: string; spans: Spans; told: string[] }>([
    { what: 'after 60 s', spans: [{ forS: 90, shown: heard(0) }], told: ['60 raised'] },
    {
      what: 'after 15 periods where that is longer',
      spans: [{ forS: 400, shown: heard(0, 20_000) }],
      told: ['300 raised'],
    },
    {
      what: 'after 60 s where that is longer',
      spans: [{ forS: 90, shown: heard(0, 4000) }],
      told: ['60 raised'],
    },
    {
      what: 'cleared at the next reading',
      spans: [
        { forS: 90, shown: heard(0) },
        { forS: 30, shown: heard(90) },
      ],
      told: ['60 raised', '90 cleared'],
    },
    { what: 'not where no board is known', spans: [{ forS: 90, shown: { boards: [] } }], told: [] },
    {
      what: 'for one silent board of two',
      spans: [
        {
          forS: 90,
          shown: {
            boards: [boardView({ lastReadingAt: START_MS + 90_000 }), boardView({ board: 'shed-2' })],
          },
        },
      ],
      told: ['60 raised'],
    },
    {
      what: 'with no couple left, too',
      spans: [{ forS: 90, shown: heard(0, 1000, { noCoupleLeft: true }) }],
      told: ['60 raised'],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(linkSilent, spans))).toEqual(told);
  });

  it.each(STAGES.map((stage) => ({ stage, raised: stage !== 'open' })))(
    'in $stage: $raised',
    ({ stage, raised }) => {
      expect(turns(watch(linkSilent, [{ forS: 90, shown: heard(0, 1000, { stage }) }]))).toEqual(
        raised ? ['60 raised'] : [],
      );
    },
  );

  it('says which board, for how long, and what to do', () => {
    const [raised] = watch(linkSilent, [{ forS: 90, shown: heard(0) }]);
    expect(raised?.text).toBe(
      'Nothing from board shed-1 for 60 seconds. Look at its cable and its supply; go by the cones until it speaks.',
    );
  });

  it('names every board that is silent, and how long none of them was heard', () => {
    const told: string[] = [];
    const boards = [
      boardView({ lastReadingAt: START_MS + 30_000 }),
      boardView({ board: 'shed-2' }),
      boardView({ board: 'shed-3', lastReadingAt: START_MS + 120_000 }),
    ];
    for (const second of [70, 110, 150])
      for (const { text } of linkSilent.judge(viewOf({ boards }, START_MS + second * SECOND_MS)))
        told.push(text());
    expect(told).toEqual([
      'Nothing from board shed-2 for 70 seconds. Look at its cable and its supply; go by the cones until it speaks.',
      'Nothing from any of the boards shed-1, shed-2 for 80 seconds. Look at their cables and their supply; go by the cones until they speak.',
      'Nothing from any of the boards shed-1, shed-2 for 2 minutes. Look at their cables and their supply; go by the cones until they speak.',
    ]);
  });
});

it('archive-trouble says what the archive says, at once', () => {
  const changes = watch(archiveTrouble, [
    { forS: 5, shown: {} },
    { forS: 5, shown: { archiveTrouble: 'The disk is full.' } },
    { forS: 5, shown: {} },
  ]);
  expect(turns(changes)).toEqual(['5 raised', '10 cleared']);
  expect(changes.map(({ text }) => text)).toEqual(['The disk is full.', 'The archive is written again.']);
});
