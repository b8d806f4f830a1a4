/** What is read aloud to those who do not see the page. */
import { describe, expect, it } from 'vitest';
import { columnsFrom, emptyColumns } from '../../dashboard/curve/columns.ts';
import { litAt } from '../../dashboard/firing.ts';
import type { Moment } from '../../dashboard/moment.ts';
import { firingAt } from '../../dashboard/replay.ts';
import { sentenceOf } from '../../dashboard/sentence.ts';
import { spokenFiring, spokenNow } from '../../dashboard/spoken.ts';
import { LIT_AT, recordAt } from './story.ts';

const HOUR = 3_600_000;
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const fresh = { ageMs: 0, stale: false, quietForMs: null };

function momentAt(hoursIn: number, kiln: Partial<Moment['firing']['kiln']> = {}): Moment {
  const now = LIT_AT + hoursIn * HOUR;
  const firing = firingAt(recordAt(hoursIn), now);
  const log = firing.log.map((row) => ({ ...row, pending: false }));
  return { firing: { ...firing, alerts: [], kiln: { ...firing.kiln, ...kiln } }, log, now, fresh, links: [] };
}

const spoken = (moment: Moment) => spokenNow(moment, sentenceOf(moment, 'C', 'open'), 'C');

describe('the kiln now', () => {
  const climbing = { smoothC: 1105, climbCPerH: 62, climbSdCPerH: 5 };

  it('is told with its heat, its climb, what is ahead, and the last stoke', () => {
    const { text } = spoken(momentAt(13, climbing));
    expect(plain(text)).toMatch(
      /^1105 °C\. Climbing 62 °C an hour\. Salting heat.*\. The last stoke was \d+ (minutes?|seconds?) ago\.$/,
    );
  });

  it('is not worth a new word for a few degrees or another minute, but for a turn, a stoke or a stage it is', () => {
    const before = momentAt(13, climbing);
    const { key } = spoken(before);
    const same = { ...before, now: before.now + 60_000 };
    expect(spoken(same).key).toBe(key);
    expect(spoken(momentAt(13, { ...climbing, smoothC: 1107 })).key).toBe(key);
    expect(spoken(momentAt(13, { ...climbing, smoothC: 1125 })).key).not.toBe(key);
    expect(spoken(momentAt(13, { ...climbing, climbCPerH: -20 })).key).not.toBe(key);
    const [stoke] = before.log.filter((row) => row.log === 'stoke');
    if (!stoke) throw new Error('the story has stokes');
    expect(spoken({ ...before, log: [...before.log, { ...stoke, id: 'one more' }] }).key).not.toBe(key);
  });

  it('has no heat to tell that is old', () => {
    const old = { ...momentAt(13, climbing), fresh: { ageMs: 90_000, stale: true, quietForMs: null } };
    expect(spoken(old).text).not.toContain('1105');
  });
});

describe('the whole firing', () => {
  it('is told from its lighting to now, with its hottest, its stokes and its salt', () => {
    const moment = momentAt(16);
    const record = recordAt(16);
    const columns = columnsFrom(record.curve);
    const text = plain(spokenFiring(moment, columns, 'C'));
    const stokes = moment.log.filter((row) => row.log === 'stoke' && !row.undone).length;
    const heats = columns.kiln.filter((cell) => typeof cell === 'number');
    expect(litAt({ log: moment.log, stages: moment.firing.stages })).toBe(LIT_AT);
    expect(text).toContain('16 hours ago.');
    expect(text).toContain(`Hottest: ${Math.round(Math.max(...heats))} °C`);
    expect(text).toContain(`${stokes} stokes logged.`);
    expect(text).toMatch(/[\d.]+ kg of salt in\.$/);
  });

  it('has nothing to tell before there is any', () => {
    const { firing, log, ...rest } = momentAt(16);
    const none = { ...rest, firing: { ...firing, stages: [] }, log: [] };
    expect(spokenFiring(none, emptyColumns(), 'C')).toBe('');
  });
});
