import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { firingNow, freshnessOf } from '../../dashboard/freshness.ts';
import { newPage, UNDO_FOR_MS } from '../../dashboard/state.ts';
import type { LoggedEntry } from '../../protocol/firing-record.ts';
import { type CollectorMessage, LIVE_VERSION } from '../../protocol/live-messages.ts';
import { follow, HOUR, heard, MINUTE, readingAt, welcomeAt, welcomed } from './pages.ts';
import { alertOf, LIT_AT } from './story.ts';

const NOW = LIT_AT + 13 * HOUR;

function logged(part: Partial<LoggedEntry>): LoggedEntry {
  return {
    entry: 500,
    id: 'x',
    at: NOW,
    madeAt: NOW,
    who: '',
    where: '',
    log: 'stoke',
    json: {},
    undone: false,
    ...part,
  };
}

describe('numbered messages', () => {
  it('are taken in their order and once', () => {
    const state = follow(welcomed(), heard(readingAt(NOW + 1000, 11)), heard(readingAt(NOW + 1000, 11)));
    expect(state.n).toBe(11);
    expect(state.firing?.lastReadingAt).toBe(NOW + 1000);
    expect(state.behind).toBe(false);
  });

  it('show a gap, change nothing until it is filled, and then go on', () => {
    const gap = follow(welcomed(), heard(readingAt(NOW + 2000, 12, { stage: 'salting' })));
    expect(gap.behind).toBe(true);
    expect(gap.n).toBe(10);
    expect(gap.firing?.stage).toBe('climbing');
    const filled = follow(
      gap,
      heard(readingAt(NOW + 1000, 11)),
      heard(readingAt(NOW + 2000, 12, { stage: 'salting' })),
    );
    expect(filled).toMatchObject({ n: 12, behind: false });
    expect(filled.firing?.stage).toBe('salting');
  });

  it('that never came are missed at the next beat', () => {
    const beat: CollectorMessage = { type: 'beat', n: 14, now: NOW, lastReadingAt: NOW, links: [] };
    expect(follow(welcomed(), heard(beat)).behind).toBe(true);
    expect(follow(newPage(0, []), heard(beat)).behind).toBe(false);
  });

  it('reach the same state in whatever order and however often they come, if what is missed is asked for', () => {
    const messages = Array.from({ length: 8 }, (_, i) => readingAt(NOW + (i + 1) * 1000, 11 + i));
    const straight = follow(welcomed(), ...messages.map((message) => heard(message)));
    fc.assert(
      fc.property(fc.array(fc.nat(7), { maxLength: 40 }), (order) => {
        let state = welcomed();
        for (const index of order) {
          const message = messages[index];
          if (message) state = follow(state, heard(message));
        }
        // What the collector sends on `since`: everything after the page's `n`.
        const missed = messages.filter(({ n }) => n > state.n);
        expect(follow(state, ...missed.map((message) => heard(message))).firing).toEqual(straight.firing);
      }),
    );
  });
});

describe('readings', () => {
  it('that are late leave the figures alone', () => {
    const state = follow(
      welcomed(),
      heard(readingAt(NOW, 11)),
      heard(readingAt(NOW - HOUR, 12, { late: true, stage: 'candling' })),
    );
    expect(state.firing).toMatchObject({ lastReadingAt: NOW, stage: 'climbing' });
    expect(state.n).toBe(12);
  });

  it('of one board leave the figures of another as they were', () => {
    const other = readingAt(NOW + 500, 12, {
      probes: [
        {
          probe: 'flue',
          tempC: 400,
          smoothC: 400,
          climbCPerH: 1,
          climbSdCPerH: 1,
          cone: null,
          fault: 'loose',
        },
      ],
    });
    const { firing } = follow(welcomed(), heard(readingAt(NOW, 11)), heard(other));
    expect(firing?.probes.map(({ name, tempC }) => [name, tempC])).toEqual([
      ['front', 1010],
      ['back', 990],
      ['top', 1000],
      ['flue', 400],
    ]);
  });

  it('without a cone keep the one that was reached: heat work never goes down', () => {
    const first = readingAt(NOW, 11);
    const without = readingAt(NOW + 1000, 12, {
      probes: first.probes.map((probe) => ({ ...probe, tempC: null, cone: null })),
    });
    const front = follow(welcomed(), heard(first), heard(without)).firing?.probes[0];
    expect(front).toMatchObject({ tempC: null, cone: '05.7' });
  });
});

describe('how old things are', () => {
  const running = follow(
    welcomed(),
    ...Array.from({ length: 8 }, (_, i) => heard(readingAt(NOW + i * 1000, 11 + i), i * 1000)),
  );

  it('the clock goes on from the last beat at the rate of the firing', () => {
    const demo = welcomed(13, { clockRate: 240 });
    expect(firingNow({ ...demo, wallMs: 2000 })).toBe(NOW + 480_000);
  });

  it.each([
    [1000, false],
    [9_000, false],
    [11_000, true],
  ])('a reading that comes each second is, %i ms later, old: %s', (laterMs, stale) => {
    const state = { ...running, wallMs: running.wallMs + laterMs, heardAtWallMs: running.wallMs + laterMs };
    expect(
      freshnessOf({
        ...state,
        clock: state.clock && { ...state.clock, now: NOW + 7000, toldAtWallMs: running.wallMs },
      }),
    ).toMatchObject({ ageMs: laterMs, stale });
  });

  it('takes the usual interval from what comes, and is not misled by one gap', () => {
    const slow = Array.from({ length: 8 }, (_, i) =>
      heard(readingAt(NOW + i * 30_000 + (i > 4 ? HOUR : 0), 11 + i)),
    );
    expect(freshnessOf(follow(welcomed(), ...slow)).staleAfterMs).toBe(150_000);
  });

  it('five seconds without any word from the collector are told, and not before', () => {
    expect(freshnessOf({ ...running, wallMs: 7000 + 4999 }).quietForMs).toBeNull();
    expect(freshnessOf({ ...running, wallMs: 7000 + 5000 }).quietForMs).toBe(5000);
  });

  it('a page that never heard anything says so as well', () => {
    const alone = follow(newPage(100, []), { kind: 'tick', wallMs: 6100 });
    expect(freshnessOf(alone)).toMatchObject({ quietForMs: 6000, now: null, ageMs: null, stale: false });
  });

  it('ticks never turn the wall back', () => {
    expect(follow(running, { kind: 'tick', wallMs: 3 }).wallMs).toBe(7000);
  });
});

describe('the log book', () => {
  it('shows an entry once, however often its row comes', () => {
    const row = logged({ id: 'a' });
    const state = follow(
      welcomed(),
      heard({ type: 'log', n: 11, logged: row }),
      heard({ type: 'log', n: 12, logged: { ...row, undone: true } }),
    );
    expect(state.firing?.log.filter(({ id }) => id === 'a')).toEqual([{ ...row, undone: true }]);
  });

  it('marks what an undo names, by the id in its own fields', () => {
    const undo = logged({ entry: 501, id: 'a', log: 'undo', json: { id: 'a' } });
    const state = follow(
      welcomed(),
      heard({ type: 'log', n: 11, logged: logged({ id: 'a' }) }),
      heard({ type: 'log', n: 12, logged: undo }),
    );
    expect(state.firing?.log.find(({ id }) => id === 'a')).toMatchObject({ log: 'stoke', undone: true });
    expect(state.firing?.log.some(({ log }) => log === 'undo')).toBe(false);
  });

  it('marks a row that another takes the place of', () => {
    const mended = logged({ entry: 502, id: 'b', at: NOW - MINUTE, replaces: 500 });
    const state = follow(
      welcomed(),
      heard({ type: 'log', n: 11, logged: logged({ id: 'a' }) }),
      heard({ type: 'log', n: 12, logged: mended }),
    );
    expect(state.firing?.log.slice(-2).map(({ id, undone }) => [id, undone])).toEqual([
      ['a', true],
      ['b', false],
    ]);
  });
});

describe('alerts', () => {
  it('stand from raised to cleared, and take their answer', () => {
    const alert = alertOf('falling', 'come-now', NOW, 'Falling.');
    const raised = follow(welcomed(), heard({ type: 'alert', n: 11, at: NOW, state: 'raised', alert }));
    const answered = { ...alert, acknowledged: { at: NOW + 1, who: null } };
    const heardIt = follow(
      raised,
      heard({ type: 'alert', n: 12, at: NOW + 1, state: 'acknowledged', alert: answered }),
    );
    const cleared = follow(
      heardIt,
      heard({ type: 'alert', n: 13, at: NOW + 2, state: 'cleared', alert: answered }),
    );
    expect(raised.firing?.alerts.at(-1)).toEqual({ alert, clearedAt: null });
    expect(heardIt.firing?.alerts.at(-1)).toEqual({ alert: answered, clearedAt: null });
    expect(cleared.firing?.alerts.filter(({ alert: { id } }) => id === alert.id)).toEqual([
      { alert: answered, clearedAt: NOW + 2 },
    ]);
  });
});

describe('what is pressed here', () => {
  const waiting = {
    firing: '2031-03-08-long-meadow',
    at: NOW,
    entry: { log: 'stoke', id: 'p', hole: 'left' },
  };

  it('waits until the collector has taken it', () => {
    const said = follow(welcomed(), { kind: 'said', waiting, wallMs: 0 });
    expect(said.outbox).toEqual([waiting]);
    expect(follow(said, heard({ type: 'taken', id: 'p', refused: null })).outbox).toEqual([]);
  });

  it('that was refused says why, until that was read', () => {
    const refused = follow(
      welcomed(),
      { kind: 'said', waiting, wallMs: 0 },
      heard({ type: 'taken', id: 'p', refused: 'The disk is full.' }),
    );
    expect(refused).toMatchObject({ outbox: [], refusals: [{ id: 'p', text: 'The disk is full.' }] });
    expect(follow(refused, { kind: 'refusal-read', id: 'p' }).refusals).toEqual([]);
  });

  it('may be taken back for ten seconds', () => {
    const said = follow(welcomed(), { kind: 'said', waiting, wallMs: 0 });
    expect(follow(said, { kind: 'tick', wallMs: UNDO_FOR_MS - 1 }).fresh).toHaveLength(1);
    expect(follow(said, { kind: 'tick', wallMs: UNDO_FOR_MS }).fresh).toHaveLength(0);
    const undo = { ...waiting, entry: { log: 'undo', id: 'p' } };
    expect(follow(said, { kind: 'said', waiting: undo, wallMs: 5 }).fresh).toHaveLength(0);
  });
});

describe('a welcome', () => {
  it('of another version makes the page an old one, and changes nothing else', () => {
    const state = follow(welcomed(), heard(welcomeAt(14, { version: LIVE_VERSION + 1, run: 'run-2' })));
    expect(state.standing).toBe('old-page');
    expect(state.run).toBe('run-1');
  });

  it('of the same firing keeps the cones that were reached; of another one it does not', () => {
    const before = follow(welcomed(), heard(readingAt(NOW, 11)));
    const again = follow(before, heard(welcomeAt(13.1, { run: 'run-2' })));
    expect(again.firing?.probes[0]?.cone).toBe('05.7');
    const { firing } = welcomeAt(13.1);
    const other = follow(
      before,
      heard(welcomeAt(13.1, { run: 'run-3', firing: { ...firing, id: 'another' } })),
    );
    expect(other.firing?.probes[0]?.cone).toBeNull();
  });
});
