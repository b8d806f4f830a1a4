/**
 * The life of an alert that is up. The states and their names are those of ANSI/ISA-18.2-2016 and IEC 62682 (the alarm
 * state transition diagram: normal, unacknowledged, acknowledged, returned to normal unacknowledged, shelved, suppressed
 * by design), recalled from memory.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isSuppressed } from '../../alerts/by-stage.ts';
import { ALL_RULES } from '../../alerts/rules/all.ts';
import {
  type AlertState,
  newStandings,
  type Standing,
  type Standings,
  standingAfter,
  standingLogged,
  standingSays,
  standingTick,
  stateOf,
} from '../../alerts/standing.ts';
import type { KilnView } from '../../alerts/view.ts';
import { lampLevel } from '../../collector/firing/lamp.ts';
import { ALERT_NAMES, ALERT_PRIORITY, type AlertName } from '../../protocol/alert-names.ts';
import { type KnownLogEntry, knownLogEntrySchema } from '../../protocol/log-entries.ts';
import { STAGES, type Stage } from '../../protocol/stages.ts';
import { boardView, MINUTE_MS, probeView, SECOND_MS, START_MS, viewOf } from '../support/kiln.ts';

/** One alert's life, written down: `raise`, `clear`, `ease`, `worsen`, an entry, a stage, or minutes that go by. */
type Event =
  | 'raise'
  | 'clear'
  | 'ease'
  | 'worsen'
  | Record<string, unknown>
  | { stage: Stage }
  | { minutes: number };

interface Lived {
  standings: Standings;
  at: number;
  stage: Stage;
  told: string[];
}

function live(name: AlertName, events: readonly Event[], probe: string | null = null): Lived {
  const lived: Lived = { standings: newStandings(), at: START_MS, stage: 'climbing', told: [] };
  const book = new Map<string, KnownLogEntry>();
  for (const event of events) {
    lived.at += SECOND_MS;
    const { standings, at, stage } = lived;
    if (event === 'raise' || event === 'clear') {
      const state = event === 'raise' ? 'raised' : 'cleared';
      const change = { at, name, state, probe, priority: ALERT_PRIORITY[name], text: `${state}.` } as const;
      standingAfter(standings, change, stage);
    } else if (event === 'ease' || event === 'worsen') {
      const fresh = { name, probe, text: null, easing: event === 'ease' };
      lived.told.push(...standingSays(standings, at, fresh).map(({ change }) => change));
    } else if ('stage' in event) {
      lived.stage = STAGES.find((each) => each === event.stage) ?? stage;
    } else if ('forMin' in event) {
      lived.at += Number(event.forMin) * MINUTE_MS;
    } else {
      const entry = knownLogEntrySchema.parse(event);
      const undone = entry.log === 'undo' ? (book.get(entry.id) ?? null) : null;
      if (entry.log !== 'undo' && entry.id !== undefined) book.set(entry.id, entry);
      lived.told.push(...standingLogged(standings, at, entry, undone, stage).map(({ change }) => change));
    }
    lived.told.push(...standingTick(standings, lived.at, lived.stage).map(({ change }) => change));
  }
  return lived;
}

function only({ standings }: Lived): Standing {
  const [standing] = standings.alerts.values();
  if (!standing) throw new Error('there is no alert');
  return standing;
}

const ACK = { log: 'ack', alert: 'stall', id: 'ack-1', who: 'Mira', where: "Mira's phone" };
const SHELVE = { log: 'shelve', alert: 'stall', id: 'shelf-1', minutes: 10, who: 'Mira' };

describe('the states', () => {
  it.each<{ what: string; events: Event[]; state: AlertState }>([
    { what: 'raised', events: ['raise'], state: 'unacknowledged' },
    { what: 'answered', events: ['raise', ACK], state: 'acknowledged' },
    {
      what: 'back to normal before anybody answered',
      events: ['raise', 'clear'],
      state: 'returned-unacknowledged',
    },
    { what: 'answered, then back to normal', events: ['raise', ACK, 'clear'], state: 'normal' },
    {
      what: 'back to normal, then answered by its id',
      events: ['raise', 'clear', { ...ACK, alert: `stall//${START_MS + SECOND_MS}` }],
      state: 'normal',
    },
    {
      what: 'back to normal, and an answer to the name alone',
      events: ['raise', 'clear', ACK],
      state: 'returned-unacknowledged',
    },
    {
      what: 'raised again after an answer',
      events: ['raise', ACK, 'clear', 'raise'],
      state: 'unacknowledged',
    },
    {
      what: 'answered, and the answer taken back',
      events: ['raise', ACK, { log: 'undo', id: 'ack-1' }],
      state: 'unacknowledged',
    },
    { what: 'easing before anybody answered', events: ['raise', 'ease'], state: 'easing' },
    { what: 'as bad as before', events: ['raise', 'ease', 'worsen'], state: 'unacknowledged' },
    { what: 'answered, and easing', events: ['raise', ACK, 'ease'], state: 'acknowledged' },
    {
      what: 'eased, then back to normal',
      events: ['raise', 'ease', 'clear'],
      state: 'returned-unacknowledged',
    },
    {
      what: 'raised again after it had eased',
      events: ['raise', 'ease', 'clear', 'raise'],
      state: 'unacknowledged',
    },
    { what: 'shelved', events: ['raise', SHELVE], state: 'shelved' },
    { what: 'shelved, not yet over', events: ['raise', SHELVE, { forMin: 9 }], state: 'shelved' },
    {
      what: 'shelved, and the time is over',
      events: ['raise', SHELVE, { forMin: 10 }],
      state: 'unacknowledged',
    },
    {
      what: 'shelved, and ended early',
      events: ['raise', SHELVE, { ...SHELVE, minutes: 0 }],
      state: 'unacknowledged',
    },
    {
      what: 'shelved, and the shelving taken back',
      events: ['raise', SHELVE, { log: 'undo', id: 'shelf-1' }],
      state: 'unacknowledged',
    },
    {
      what: 'raised again while its shelf holds',
      events: ['raise', SHELVE, 'clear', { forMin: 5 }, 'raise'],
      state: 'shelved',
    },
    {
      what: 'shelved for the half hour that is usual',
      events: ['raise', { log: 'shelve', alert: 'stall' }, { forMin: 29 }],
      state: 'shelved',
    },
    { what: 'in a stage that suppresses it', events: ['raise', { stage: 'cooling' }], state: 'suppressed' },
    {
      what: 'back in a stage that does not',
      events: ['raise', { stage: 'hold' }, { stage: 'climbing' }],
      state: 'unacknowledged',
    },
  ])('$what: $state', ({ events, state }) => {
    expect(stateOf(only(live('stall', events)))).toBe(state);
  });

  it('keep who answered, when, where, and in which stage', () => {
    const { acknowledged } = only(live('stall', ['raise', ACK]));
    expect(acknowledged).toEqual({
      at: START_MS + 2 * SECOND_MS,
      who: 'Mira',
      where: "Mira's phone",
      stage: 'climbing',
      by: null,
    });
  });

  it('tell each change once', () => {
    const { told } = live('stall', [
      'raise',
      ACK,
      SHELVE,
      { forMin: 5 },
      { forMin: 10 },
      { stage: 'hold' },
      { stage: 'hold' },
    ]);
    expect(told).toEqual(['acknowledged', 'changed', 'changed', 'changed']);
  });
});

describe('a deed answers', () => {
  it.each<{ name: AlertName; entry: Record<string, unknown>; answered: boolean; probe?: string }>([
    { name: 'salting-window', entry: { log: 'salt', hole: 'left' }, answered: true },
    { name: 'salting-soon', entry: { log: 'salt', hole: 'left' }, answered: true },
    { name: 'salt-pause', entry: { log: 'salt', hole: 'left' }, answered: false },
    { name: 'stoke-due', entry: { log: 'stoke', hole: 'right' }, answered: true },
    { name: 'falling', entry: { log: 'clam-up' }, answered: true },
    { name: 'falling', entry: { log: 'stoke', hole: 'right' }, answered: false },
    { name: 'falling', entry: { log: 'hold', on: true }, answered: true },
    { name: 'falling', entry: { log: 'hold', on: false }, answered: false },
    { name: 'draw-due', entry: { log: 'draw' }, answered: true },
    { name: 'probe-fault', entry: { log: 'pulled', probe: 'low' }, probe: 'low', answered: true },
    { name: 'probe-fault', entry: { log: 'pulled', probe: 'high' }, probe: 'low', answered: false },
    { name: 'board-hot', entry: { log: 'clam-up' }, answered: false },
  ])('$name by $entry: $answered', ({ name, entry, answered, probe }) => {
    const { acknowledged } = only(live(name, ['raise', entry], probe ?? null));
    expect(acknowledged?.by ?? null).toBe(answered ? entry.log : null);
  });

  it('and calls again when the deed is taken back', () => {
    const salted = { log: 'salt', hole: 'left', id: 'salt-1' };
    const lived = live('salting-window', ['raise', salted, { log: 'undo', id: 'salt-1' }]);
    expect(lived.told).toEqual(['acknowledged', 'recalled']);
    expect(stateOf(only(lived))).toBe('unacknowledged');
  });

  it('is told once, however often it is done again', () => {
    const salted = { log: 'salt', hole: 'left' };
    expect(live('salting-window', ['raise', salted, salted, salted]).told).toEqual(['acknowledged']);
  });
});

describe('the lamp', () => {
  const SALT = { log: 'salt', hole: 'left' };
  it.each<{ what: string; name: AlertName; events: Event[]; level: number }>([
    { what: 'come now, nobody answered', name: 'falling', events: ['raise'], level: 2 },
    { what: 'look soon, nobody answered', name: 'stall', events: ['raise'], level: 1 },
    { what: 'a note', name: 'stoke-due', events: ['raise'], level: 0 },
    { what: 'answered', name: 'stall', events: ['raise', ACK], level: 0 },
    { what: 'shelved', name: 'stall', events: ['raise', SHELVE], level: 0 },
    { what: 'back from its shelf', name: 'stall', events: ['raise', SHELVE, { forMin: 10 }], level: 1 },
    { what: 'back to normal', name: 'falling', events: ['raise', 'clear'], level: 0 },
    { what: 'easing', name: 'falling', events: ['raise', 'ease'], level: 0 },
    { what: 'as bad as before', name: 'falling', events: ['raise', 'ease', 'worsen'], level: 2 },
    { what: 'closed on purpose', name: 'falling', events: ['raise', { stage: 'cooling' }], level: 0 },
    {
      what: 'the window, before the first salt',
      name: 'salting-window',
      events: ['raise', { stage: 'salting' }],
      level: 2,
    },
    {
      what: 'the window, while salt goes in',
      name: 'salting-window',
      events: ['raise', SALT, { stage: 'salting' }],
      level: 0,
    },
  ])('$what: $level', ({ name, events, level }) => {
    expect(lampLevel(live(name, events).standings)).toBe(level);
  });
});

describe('what is over', () => {
  it('is told of no more, whatever the stage', () => {
    const lived = live('salting-soon', ['raise', 'clear', { stage: 'cooling' }, { stage: 'climbing' }]);
    expect(lived.told).toEqual([]);
    expect(stateOf(only(lived))).toBe('returned-unacknowledged');
  });
});

describe('whoever has heard that the kiln falls', () => {
  const at = START_MS;
  const up = (...names: AlertName[]) => {
    const standings = newStandings();
    for (const name of names)
      standingAfter(
        standings,
        { at, name, state: 'raised', probe: null, priority: ALERT_PRIORITY[name], text: '.' },
        'climbing',
      );
    return standings;
  };
  const answered = (standings: Standings, alert: string) =>
    standingLogged(standings, at, { log: 'ack', alert, who: '', id: 'a' }, null, 'climbing').map(
      ({ standing }) => standing.name,
    );

  it('has heard that it stalls; not the other way round', () => {
    expect(answered(up('stall', 'falling', 'uneven'), `falling//${at}`)).toEqual(['stall', 'falling']);
    expect(answered(up('stall', 'falling'), 'falling')).toEqual(['stall', 'falling']);
    expect(answered(up('stall', 'falling'), 'stall')).toEqual(['stall']);
    expect(answered(up('stall'), 'falling')).toEqual([]);
  });
});

describe('suppressed by stage', () => {
  /** Everything wrong at once, and nothing logged. */
  const worst = (stage: Stage, climbCPerH: number, smoothC: number) => [
    viewOf({
      stage,
      ...stands(climbCPerH, smoothC),
      toSaltingMs: MINUTE_MS,
      salt: { inKg: 30, startedAt: START_MS },
      stoke: { lastAt: START_MS - 60 * MINUTE_MS, medianIntervalMs: MINUTE_MS, logged: true },
      boards: [
        boardView({ lastReadingAt: START_MS - 60 * MINUTE_MS }),
        boardView({ board: 'hot', coldJunctionC: 90 }),
      ],
      probes: [probeView({ smoothC }), probeView({ probe: 'high', smoothC: smoothC + 400, fault: 'open.' })],
    }),
    viewOf({
      stage,
      ...stands(climbCPerH, smoothC),
      probes: [probeView({ smoothC }), probeView({ probe: 'high', smoothC: smoothC + 400 })],
      toSaltingMs: MINUTE_MS,
    }),
  ];

  const stands = (climbCPerH: number, smoothC: number) => ({
    kiln: {
      smoothC,
      climbCPerH,
      climbSdCPerH: 1,
      shownCPerH: climbCPerH,
      coneValue: 14,
      // Nothing is driven on from beyond the firing cone.
      mostConeValue: 1,
    },
    still: stillBy(climbCPerH),
  });

  /** A test that has counted for long. */
  const stillBy = (climbCPerH: number): KilnView['still'] => ({
    stands: { sure: climbCPerH <= 0, forMs: MINUTE_MS },
    falls: { sure: climbCPerH < 0, forMs: MINUTE_MS },
  });

  const even = (stage: Stage, smoothC: number) =>
    viewOf({ stage, kiln: { smoothC }, probes: [probeView({ smoothC })] });

  it('says of every alert and stage what its rule says: none is suppressed that could be raised', () => {
    const raisedIn = new Map<string, Set<Stage>>();
    for (const stage of STAGES)
      for (const climbCPerH of [-200, 0, 200])
        for (const smoothC of [100, 250, 570, 900, 1195, 1210, 1300])
          for (const view of [...worst(stage, climbCPerH, smoothC), even(stage, smoothC)])
            for (const { name, judge } of ALL_RULES)
              if (judge(view).some(({ verdict }) => verdict === 'on'))
                raisedIn.set(name, (raisedIn.get(name) ?? new Set()).add(stage));
    for (const name of ALERT_NAMES) {
      if (name === 'archive-trouble' || name === 'phone-silent') continue;
      const speaks = STAGES.filter((stage) => !isSuppressed(name, stage));
      expect([name, STAGES.filter((stage) => raisedIn.get(name)?.has(stage))]).toEqual([name, speaks]);
    }
  });
});

it('whatever happens, an alert is in one state, and only an unanswered one calls', () => {
  const event = fc.constantFrom<Event>(
    'raise',
    'clear',
    'ease',
    'worsen',
    ACK,
    SHELVE,
    { log: 'undo', id: 'ack-1' },
    { log: 'undo', id: 'shelf-1' },
    { forMin: 6 },
    { stage: 'cooling' },
    { stage: 'climbing' },
    { log: 'clam-up' },
  );
  fc.assert(
    fc.property(fc.array(event, { maxLength: 40 }), (events) => {
      const { standings } = live('stall', ['raise', ...events]);
      const [standing] = standings.alerts.values();
      if (!standing) throw new Error('the alert is gone');
      const calls = lampLevel(standings) > 0;
      expect(calls).toBe(stateOf(standing) === 'unacknowledged');
      if (calls) {
        expect(standing).toMatchObject({
          returnedAt: null,
          acknowledged: null,
          shelved: null,
          suppressed: false,
          easing: false,
        });
      }
    }),
  );
});
