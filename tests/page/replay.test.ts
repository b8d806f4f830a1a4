import { describe, expect, it } from 'vitest';
import { litAt, standingAlerts } from '../../dashboard/firing.ts';
import { firingAt, newPlayer, playOn, spanOf } from '../../dashboard/replay.ts';
import { kilnAt, LIT_AT, recordAt } from './story.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const record = recordAt(18.5);

describe('a past firing at a moment', () => {
  it.each([
    [-0.1, 'before'],
    [2, 'candling'],
    [9, 'climbing'],
    [16, 'salting'],
    [17.5, 'soak'],
    [18.2, 'cooling'],
  ] as const)('%f hours in it is in the stage %s and as hot as it was', (hours, stage) => {
    const at = LIT_AT + hours * HOUR;
    const firing = firingAt(record, at);
    expect(firing.stage).toBe(stage);
    expect(Math.abs((firing.kiln.smoothC ?? 0) - kilnAt(at))).toBeLessThan(3);
    expect(firing.log.every((row) => row.at <= at)).toBe(true);
  });

  it('shows no figure in a gap', () => {
    expect(firingAt(record, LIT_AT + 10.5 * HOUR).kiln.smoothC).toBeNull();
    expect(firingAt(record, LIT_AT + 10.5 * HOUR).probes.every(({ tempC }) => tempC === null)).toBe(true);
  });

  it('has an alert stand from when it was raised to when it cleared', () => {
    const standing = (hours: number) =>
      standingAlerts(firingAt(record, LIT_AT + hours * HOUR), []).map(({ name }) => name);
    expect([12.3, 12.5, 12.9].map(standing)).toEqual([[], ['stall'], []]);
  });

  it('knows nothing before the first reading', () => {
    const firing = firingAt(record, LIT_AT - HOUR);
    expect(firing.lastReadingAt).toBeNull();
    expect(firing.kiln.smoothC).toBeNull();
    expect(litAt(firing)).toBeNull();
  });
});

describe('playing', () => {
  const span = spanOf(record);
  if (!span) throw new Error('nothing recorded');

  it('goes so many firing seconds a second, and stops at the end', () => {
    const player = { ...newPlayer(span), at: span.from, playing: true, speed: 1200 };
    expect(playOn(player, 1000).at - player.at).toBe(1_200_000);
    const end = playOn(player, 1e9);
    expect(end).toMatchObject({ at: span.to, playing: false });
    expect(playOn(end, 1000)).toEqual(end);
  });

  it('has nothing to play of a firing without a record', () => {
    expect(
      spanOf({
        ...record,
        log: [],
        stages: [],
        curve: { at: [], kiln: [], kilnClimbCPerH: [], kilnClimbSdCPerH: [], probes: [] },
      }),
    ).toBeNull();
  });
});
