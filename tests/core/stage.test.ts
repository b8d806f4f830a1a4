/** The stage of the firing: by what was logged, by the heat alone, and back again by an undo. */
import { describe, expect, it } from 'vitest';
import { factsOf, newLogBook, writeInBook } from '../../collector/core/log-book.ts';
import { newStage, type StageState, stageLogged, stageTick } from '../../collector/core/stage.ts';
import type { Stage } from '../../protocol/stages.ts';
import { entryOf, MINUTE_MS, planOf, START_MS } from '../support/kiln.ts';

/** What happens in a minute: a heat and a climb, or an entry; the heat stays until told otherwise. */
type Deed =
  | { at: number; heat: number | null; climb?: number | null; stokedAt?: number }
  | { at: number; log: string; [field: string]: unknown };

/** Plays deeds (minutes, ascending) with a look at the kiln each minute; the stages and when each began. */
function play(deeds: readonly Deed[], untilMinute: number, plan: Record<string, unknown> = {}) {
  const stage: StageState = newStage();
  const book = newLogBook();
  const parsedPlan = planOf(plan);
  const gone: string[] = [];
  let now: { heat: number | null; climb: number | null; stokedAt: number | null } = {
    heat: null,
    climb: null,
    stokedAt: null,
  };
  const note = (minute: number, before: Stage) => {
    if (stage.stage !== before) gone.push(`${minute} ${stage.stage}`);
  };
  for (let minute = 0; minute <= untilMinute; minute++) {
    const at = START_MS + minute * MINUTE_MS;
    for (const deed of deeds) {
      if (deed.at !== minute) continue;
      const before = stage.stage;
      if ('log' in deed) {
        const { at: _at, ...fields } = deed;
        const log = entryOf(fields);
        if (!log.known) throw new Error(deed.log);
        const undone = writeInBook(book, at, log.entry);
        stageLogged(stage, at, log.entry, undone, now.heat);
      } else {
        const { heat, climb = 30, stokedAt = null } = deed;
        now = { heat, climb, stokedAt: stokedAt === null ? null : START_MS + stokedAt * MINUTE_MS };
      }
      note(minute, before);
    }
    const before = stage.stage;
    stageTick(stage, {
      at,
      smoothC: now.heat,
      climbCPerH: now.climb,
      stokedAt: now.stokedAt,
      salt: factsOf(book, parsedPlan.chargeG).salt,
      plan: parsedPlan,
    });
    note(minute, before);
  }
  return gone;
}

const salt = (at: number, id: string, g = 1000): Deed => ({ at, log: 'salt', hole: 'left', g, id });
const undo = (at: number, id: string): Deed => ({ at, log: 'undo', id });

describe('a firing with everything logged', () => {
  it('goes through the stages as they are logged', () => {
    const gone = play(
      [
        { at: 0, heat: 15 },
        { at: 10, log: 'light-up', id: 'l' },
        { at: 60, heat: 149.9 },
        { at: 70, heat: 150 },
        { at: 80, heat: 400 },
        { at: 100, log: 'hold', on: true, id: 'h1' },
        { at: 130, log: 'hold', on: false, id: 'h2' },
        { at: 200, heat: 1210 },
        salt(205, 's1'),
        salt(207, 's2'),
        { at: 260, log: 'end-salt', id: 'e' },
        { at: 300, log: 'clam-up', id: 'c' },
        { at: 400, heat: 199, climb: -5 },
        { at: 500, log: 'unbricked', id: 'u' },
      ],
      600,
    );
    expect(gone).toEqual([
      '10 candling',
      '70 climbing',
      '100 hold',
      '130 climbing',
      '205 salting',
      '260 soak',
      '300 cooling',
      '500 open',
    ]);
  });

  it('an open salting window alone is no salting: it begins at the first salt', () => {
    expect(
      play(
        [
          { at: 0, heat: 15 },
          { at: 5, heat: 1250 },
        ],
        200,
      ),
    ).toEqual(['5 climbing']);
  });
});

describe('a firing in which nobody logs anything', () => {
  it('is candled from 20 °C above the first reading, and climbs from 150 °C', () => {
    const heats: Deed[] = [
      { at: 0, heat: 12 },
      { at: 10, heat: 31.9 },
      { at: 20, heat: 32 },
      { at: 30, heat: 149.9 },
      { at: 40, heat: 150 },
    ];
    expect(play(heats, 60)).toEqual(['20 candling', '40 climbing']);
  });

  it('is lit although the first reading was a wild one', () => {
    const heats: Deed[] = [
      { at: 0, heat: 1300 },
      { at: 1, heat: 14 },
      { at: 20, heat: 34 },
    ];
    expect(play(heats, 30)).toEqual(['20 candling']);
  });

  it('is not lit by a warm morning', () => {
    expect(
      play(
        [
          { at: 0, heat: 4 },
          { at: 300, heat: 23 },
        ],
        400,
      ),
    ).toEqual([]);
  });

  const top: Deed[] = [
    { at: 0, heat: 15 },
    { at: 5, heat: 1240 },
  ];
  const closed = (changes: Partial<{ heat: number; climb: number; stokedAt: number }> = {}): Deed => ({
    at: 100,
    heat: 1200,
    climb: -60,
    ...changes,
  });

  it.each<{ what: string; deeds: Deed[]; gone: string[] }>([
    { what: 'is closed after 90 min of falling', deeds: [...top, closed()], gone: ['190 cooling'] },
    { what: 'is not while it falls by 25 °C/h or less', deeds: [...top, closed({ climb: -25 })], gone: [] },
    {
      what: 'is when it falls a little faster',
      deeds: [...top, closed({ climb: -25.1 })],
      gone: ['190 cooling'],
    },
    {
      what: 'is not below 1000 °C: nobody closes a kiln there',
      deeds: [...top, closed({ heat: 999 })],
      gone: [],
    },
    {
      what: 'is when the fall began above 1000 °C',
      deeds: [...top, closed({ heat: 1001 }), { at: 150, heat: 800, climb: -200 }],
      gone: ['190 cooling'],
    },
    {
      what: 'is 90 min after the last stoke that was seen',
      deeds: [...top, closed({ stokedAt: 130 })],
      gone: ['220 cooling'],
    },
    {
      what: 'is not when it climbs in between',
      deeds: [...top, closed(), { at: 150, heat: 1150, climb: 20 }, { at: 155, heat: 1150, climb: -60 }],
      gone: ['245 cooling'],
    },
    {
      what: 'is although the link was silent for a while',
      deeds: [...top, closed(), { at: 150, heat: null, climb: null }, { at: 160, heat: 1140, climb: -60 }],
      gone: ['190 cooling'],
    },
    {
      what: 'is not while nothing is known',
      deeds: [...top, closed(), { at: 150, heat: null, climb: null }],
      gone: [],
    },
  ])('$what', ({ deeds, gone }) => {
    expect(play(deeds, 300)).toEqual(['5 climbing', ...gone]);
  });

  it('is closed from salting and soak, too', () => {
    const closedAfter = (deed: Deed) => play([...top, deed, closed()], 300).at(-1);
    expect(closedAfter(salt(10, 's'))).toBe('190 cooling');
    expect(closedAfter({ at: 10, log: 'end-salt', id: 'e' })).toBe('190 cooling');
    expect(closedAfter({ at: 10, log: 'hold', on: true, id: 'h' })).toBe('190 cooling');
  });
});

describe('soak', () => {
  const at1240: Deed[] = [
    { at: 0, heat: 15 },
    { at: 5, heat: 1240 },
  ];

  it.each<{ what: string; deeds: Deed[]; plan?: Record<string, unknown>; gone: string[] }>([
    {
      what: 'begins 20 min after the last salt once the planned amount is in',
      deeds: [...at1240, salt(10, 'a', 12_000), salt(50, 'b', 12_000)],
      gone: ['10 salting', '70 soak'],
    },
    {
      what: 'does not while some is missing',
      deeds: [...at1240, salt(10, 'a', 12_000)],
      gone: ['10 salting'],
    },
    {
      what: 'counts charges without a weight by the plan',
      deeds: [...at1240, { at: 10, log: 'salt', hole: 'right', id: 'a' }],
      plan: { saltKg: 0.073, chargeG: 73 },
      gone: ['10 salting', '30 soak'],
    },
    {
      what: 'is left again when more goes in',
      deeds: [...at1240, salt(10, 'a', 23_000), salt(40, 'b', 500)],
      gone: ['10 salting', '30 soak', '40 salting', '60 soak'],
    },
    {
      what: 'begins at end-salt though nobody logged the salt',
      deeds: [...at1240, { at: 60, log: 'end-salt', id: 'e' }],
      gone: ['60 soak'],
    },
  ])('$what', ({ deeds, plan, gone }) => {
    expect(play(deeds, 150, plan)).toEqual(['5 climbing', ...gone]);
  });
});

describe('planned holds', () => {
  const holds = [{ atC: 80, minutes: 60 }];
  const lit: Deed[] = [
    { at: 0, heat: 10 },
    { at: 5, heat: 40 },
    { at: 20, heat: 81 },
  ];

  it.each<{ what: string; deeds: Deed[]; plan: Record<string, unknown>; gone: string[] }>([
    {
      what: 'begin at their heat and end after their time',
      deeds: lit,
      plan: { holds },
      gone: ['20 hold', '80 candling'],
    },
    {
      what: 'are held once',
      deeds: [...lit, { at: 100, heat: 78 }, { at: 110, heat: 82 }],
      plan: { holds },
      gone: ['20 hold', '80 candling'],
    },
    {
      what: 'end in climbing when it is hot enough by then',
      deeds: [...lit, { at: 50, heat: 160 }],
      plan: { holds },
      gone: ['20 hold', '80 climbing'],
    },
    {
      what: 'one after the other',
      deeds: [...lit, { at: 90, heat: 120 }, { at: 200, heat: 151 }],
      plan: { holds: [...holds, { atC: 120, minutes: 30 }] },
      gone: ['20 hold', '80 candling', '90 hold', '120 candling', '200 climbing'],
    },
    {
      what: 'that were passed before anybody looked are not held',
      deeds: [
        { at: 0, heat: 10 },
        { at: 5, heat: 40 },
        { at: 20, heat: 111 },
      ],
      plan: { holds },
      gone: [],
    },
    {
      what: 'can be ended by hand',
      deeds: [...lit, { at: 30, log: 'hold', on: false, id: 'h' }],
      plan: { holds },
      gone: ['20 hold', '30 candling'],
    },
    {
      what: 'last until they are ended by hand if somebody says so meanwhile',
      deeds: [
        ...lit,
        { at: 30, log: 'hold', on: true, id: 'h' },
        { at: 140, log: 'hold', on: false, id: 'i' },
      ],
      plan: { holds },
      gone: ['20 hold', '140 candling'],
    },
  ])('$what', ({ deeds, plan, gone }) => {
    expect(play(deeds, 250, plan)).toEqual(['5 candling', ...gone]);
  });
});

describe('an undo takes back what its entry moved', () => {
  const cold: Deed[] = [{ at: 0, heat: 15 }];
  const hot: Deed[] = [
    { at: 0, heat: 15 },
    { at: 5, heat: 1240 },
  ];

  it.each<{ what: string; deeds: Deed[]; gone: string[] }>([
    {
      what: 'light-up',
      deeds: [...cold, { at: 10, log: 'light-up', id: 'x' }, undo(12, 'x')],
      gone: ['10 candling', '12 before'],
    },
    {
      what: 'light-up, too late: it has got hot meanwhile',
      deeds: [...cold, { at: 10, log: 'light-up', id: 'x' }, { at: 20, heat: 160 }, undo(30, 'x')],
      gone: ['10 candling', '20 climbing'],
    },
    {
      what: 'hold on',
      deeds: [...hot, { at: 10, log: 'hold', on: true, id: 'x' }, undo(12, 'x')],
      gone: ['5 climbing', '10 hold', '12 climbing'],
    },
    {
      what: 'hold off',
      deeds: [
        ...hot,
        { at: 10, log: 'hold', on: true, id: 'w' },
        { at: 20, log: 'hold', on: false, id: 'x' },
        undo(22, 'x'),
      ],
      gone: ['5 climbing', '10 hold', '20 climbing', '22 hold'],
    },
    {
      what: 'salt',
      deeds: [...hot, salt(10, 'x'), undo(12, 'x')],
      gone: ['5 climbing', '10 salting', '12 climbing'],
    },
    {
      what: 'the first of two salts: there is salt in all the same',
      deeds: [...hot, salt(10, 'x'), salt(11, 'y'), undo(12, 'x')],
      gone: ['5 climbing', '10 salting'],
    },
    {
      what: 'both of two salts',
      deeds: [...hot, salt(10, 'x'), salt(11, 'y'), undo(12, 'x'), undo(13, 'y')],
      gone: ['5 climbing', '10 salting', '13 climbing'],
    },
    {
      what: 'end-salt',
      deeds: [...hot, salt(10, 'w'), { at: 20, log: 'end-salt', id: 'x' }, undo(22, 'x')],
      gone: ['5 climbing', '10 salting', '20 soak', '22 salting'],
    },
    {
      what: 'the salt below an end-salt, and then that',
      deeds: [...hot, salt(10, 'w'), { at: 20, log: 'end-salt', id: 'x' }, undo(22, 'w'), undo(24, 'x')],
      gone: ['5 climbing', '10 salting', '20 soak', '24 climbing'],
    },
    {
      what: 'clam-up',
      deeds: [...hot, { at: 10, log: 'clam-up', id: 'x' }, undo(12, 'x')],
      gone: ['5 climbing', '10 cooling', '12 climbing'],
    },
    {
      what: 'one of two taps on clam-up',
      deeds: [
        ...hot,
        { at: 10, log: 'clam-up', id: 'x' },
        { at: 10, log: 'clam-up', id: 'y' },
        undo(12, 'x'),
      ],
      gone: ['5 climbing', '10 cooling'],
    },
    {
      what: 'unbricked',
      deeds: [
        ...hot,
        { at: 10, log: 'clam-up', id: 'w' },
        { at: 20, log: 'unbricked', id: 'x' },
        undo(22, 'x'),
      ],
      gone: ['5 climbing', '10 cooling', '20 open', '22 cooling'],
    },
    {
      what: 'what moved nothing',
      deeds: [...hot, { at: 10, log: 'stoke', hole: 'left', id: 'x' }, undo(12, 'x')],
      gone: ['5 climbing'],
    },
    {
      what: 'an id that nobody gave',
      deeds: [...hot, { at: 10, log: 'clam-up', id: 'x' }, undo(12, 'z')],
      gone: ['5 climbing', '10 cooling'],
    },
    {
      what: 'the same twice',
      deeds: [...hot, { at: 10, log: 'clam-up', id: 'x' }, undo(12, 'x'), undo(13, 'x')],
      gone: ['5 climbing', '10 cooling', '12 climbing'],
    },
  ])('$what', ({ deeds, gone }) => {
    expect(play(deeds, 60)).toEqual(gone);
  });

  it('and a planned hold goes on to its end', () => {
    const deeds: Deed[] = [
      { at: 0, heat: 10 },
      { at: 5, heat: 81 },
      { at: 30, log: 'clam-up', id: 'x' },
      undo(31, 'x'),
    ];
    const gone = play(deeds, 200, { holds: [{ atC: 80, minutes: 60 }] });
    expect(gone).toEqual(['5 hold', '30 cooling', '31 hold', '65 candling']);
  });
});

describe('what comes too late or out of place', () => {
  const cold: Deed = { at: 0, heat: 15 };
  const candling: Deed = { at: 5, heat: 80 };

  it.each<{ what: string; deeds: Deed[]; gone: string[] }>([
    {
      what: 'a clam-up after the kiln was seen to cool moves nothing',
      deeds: [
        cold,
        { at: 5, heat: 1240 },
        { at: 10, heat: 1200, climb: -60 },
        { at: 150, log: 'clam-up', id: 'c' },
      ],
      gone: ['5 climbing', '100 cooling'],
    },
    {
      what: 'and taking it back moves nothing either',
      deeds: [
        cold,
        { at: 5, heat: 1240 },
        { at: 10, heat: 1200, climb: -60 },
        { at: 150, log: 'clam-up', id: 'c' },
        undo(152, 'c'),
      ],
      gone: ['5 climbing', '100 cooling'],
    },
    {
      what: 'light-up in a hot kiln',
      deeds: [cold, { at: 5, heat: 520 }, { at: 9, log: 'light-up', id: 'l' }],
      gone: ['5 climbing'],
    },
    {
      what: 'salt in a closed kiln',
      deeds: [cold, { at: 5, log: 'clam-up', id: 'c' }, salt(8, 's')],
      gone: ['5 cooling'],
    },
    {
      what: 'anything in an open kiln',
      deeds: [
        cold,
        { at: 5, log: 'unbricked', id: 'u' },
        salt(8, 's'),
        { at: 9, log: 'clam-up', id: 'c' },
        { at: 10, log: 'light-up', id: 'l' },
        { at: 11, log: 'hold', on: true, id: 'h' },
        { at: 12, log: 'end-salt', id: 'e' },
        { at: 13, heat: 1200 },
      ],
      gone: ['5 open'],
    },
    {
      what: 'end-salt in candling',
      deeds: [cold, candling, { at: 8, log: 'end-salt', id: 'e' }],
      gone: ['5 candling'],
    },
    {
      what: 'hold off where nothing is held',
      deeds: [cold, candling, { at: 8, log: 'hold', on: false, id: 'h' }],
      gone: ['5 candling'],
    },
  ])('$what', ({ deeds, gone }) => {
    expect(play(deeds, 200)).toEqual(gone);
  });
});
