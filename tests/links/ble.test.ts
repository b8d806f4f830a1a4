import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { bleLink } from '../../collector/links/ble.ts';
import type { GattTrouble } from '../../collector/links/gatt.ts';
import type { Link } from '../../collector/links/link.ts';
import { LINE_LIMIT_BYTES } from '../../collector/links/port-lines.ts';
import { type FakeGatt, fakeConnection, fakeGatt, TARGET } from './fake-gatt.ts';
import { type HandClock, handClock, runClock, runClockUntil } from './hand-clock.ts';
import { type Recorder, recorder } from './recorder.ts';

let clock: HandClock;
let told: Recorder;
let link: Link | null;

beforeEach(() => {
  clock = handClock(1_000_000);
  told = recorder();
  link = null;
});
afterEach(async () => {
  const closed = link?.close();
  await runClock(clock, 5_000, { stepMs: 500 });
  await closed;
});

function start(gatt: FakeGatt): Link {
  link = bleLink({ target: TARGET, gatt, clock })(told);
  return link;
}
const isOpen = () => told.states().at(-1) === 'open';
const up = () => runClockUntil(clock, isOpen);

const failed =
  (why: GattTrouble, detail = '') =>
  () => ({ ok: false as const, why, detail });

describe('a board over Bluetooth low energy', () => {
  it('is looked for and connected, and its lines are handed on with the time of the clock', async () => {
    const gatt = fakeGatt(fakeConnection);
    start(gatt);
    await up();
    expect(told.standings).toEqual([
      { state: 'connecting', text: 'Looking for shed-1 over Bluetooth.' },
      { state: 'open', text: 'shed-1 is connected over Bluetooth.' },
    ]);
    gatt.connections[0]?.say('$R,0,1000,18.50,12,3*3085\r\n$?*264C\n');
    await runClockUntil(clock, () => told.lines.length === 2);
    expect(told.texts()).toEqual(['$R,0,1000,18.50,12,3*3085', '$?*264C']);
  });

  it('puts lines together wherever they are cut', async () => {
    const lines = ['$R,0,1000,18.50,12,3*3085', '$?*264C', '$L,2*F1CA', '$G,5,9*D568'];
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1, maxLength: 40 }),
        async (cuts) => {
          const ours = recorder();
          const gatt = fakeGatt(fakeConnection);
          const made = bleLink({ target: TARGET, gatt, clock })(ours);
          await runClockUntil(clock, () => ours.states().includes('open'));
          let text = `${lines.join('\n')}\n`;
          for (let i = 0; text !== ''; i += 1) {
            const most = cuts[i % cuts.length] ?? 1;
            gatt.connections[0]?.say(text.slice(0, most), most);
            text = text.slice(most);
          }
          await runClockUntil(clock, () => ours.lines.length === lines.length);
          expect(ours.texts()).toEqual(lines);
          const closed = made.close();
          await runClock(clock, 100);
          await closed;
        },
      ),
      { numRuns: 25 },
    );
  });

  it('drops the first line if it is torn, and a line without end', async () => {
    const gatt = fakeGatt(fakeConnection);
    start(gatt);
    await up();
    gatt.connections[0]?.say(`.50,12,3*3085\n$?*264C\n${'x'.repeat(LINE_LIMIT_BYTES + 200)}`);
    gatt.connections[0]?.say('\n$L,2*F1CA\n');
    await runClockUntil(clock, () => told.lines.length === 2);
    expect(told.texts()).toEqual(['$?*264C', '$L,2*F1CA']);
    expect(told.drops).toBe(2);
  });

  it('never makes a line of a tail: what was cut by a lost connection is dropped', async () => {
    const gatt = fakeGatt(fakeConnection);
    start(gatt);
    await up();
    gatt.connections[0]?.say('$?*264C\n$R,0,1000,18.5');
    await runClockUntil(clock, () => told.lines.length === 1);
    gatt.connections[0]?.vanish();
    await runClockUntil(clock, () => gatt.connections.length === 2 && isOpen());
    gatt.connections[1]?.say('0,12,3*3085\n$L,2*F1CA\n');
    await runClockUntil(clock, () => told.lines.length === 2);
    expect(told.texts()).toEqual(['$?*264C', '$L,2*F1CA']);
    expect(told.drops).toBe(2);
  });

  it('writes in pieces that fit the MTU, in order', async () => {
    for (const [mtu, pieces] of [
      [23, ['$G,4294967290,429496', '7295*B4EE\n', '$?*264C\n']],
      [100, ['$G,4294967290,4294967295*B4EE\n', '$?*264C\n']],
    ] as const) {
      const gatt = fakeGatt((listener) => fakeConnection(listener, { mtu }));
      const made = start(gatt);
      await up();
      made.send('$G,4294967290,4294967295*B4EE');
      made.send('$?*264C');
      await runClockUntil(clock, () => gatt.connections[0]?.written.length === pieces.length);
      expect(gatt.connections[0]?.written).toEqual(pieces);
      const closed = made.close();
      await runClock(clock, 100);
      await closed;
      told = recorder();
    }
  });

  it('sends nothing while it is down', async () => {
    const gatt = fakeGatt(failed('not-heard'), fakeConnection);
    const made = start(gatt);
    made.send('$?*264C');
    await up();
    await runClock(clock, 1_000);
    expect(gatt.connections[0]?.written).toEqual([]);
  });

  it('drops what is sent beyond what a slow board takes, so that memory stays bounded', async () => {
    let release: () => void = () => undefined;
    const takes = new Promise<void>((resolve) => {
      release = resolve;
    });
    const gatt = fakeGatt((listener) => fakeConnection(listener, { takes }));
    const made = start(gatt);
    await up();
    for (let i = 0; i < 10_000; i += 1) made.send('$L,2*F1CA');
    release();
    await runClock(clock, 1_000);
    const written = gatt.connections[0]?.written.join('') ?? '';
    expect(written.length).toBeLessThanOrEqual(1_024);
    expect(written.length).toBeGreaterThan(1_000);
    expect(new Set(written.trimEnd().split('\n'))).toEqual(new Set(['$L,2*F1CA']));
    made.send('$?*264C');
    await runClock(clock, 100);
    expect(gatt.connections[0]?.written.at(-1)).toBe('$?*264C\n');
  });

  it('connects a board anew that takes nothing for long, says so, and then leaves it in peace', async () => {
    const never = new Promise<void>(() => undefined);
    const gatt = fakeGatt((listener) => fakeConnection(listener, { takes: never }), fakeConnection);
    const made = start(gatt);
    await up();
    made.send('$L,2*F1CA');
    await runClockUntil(clock, () => /takes nothing from us/.test(told.standings.at(-1)?.text ?? ''));
    expect(gatt.connections).toHaveLength(2);
    made.send('$?*264C');
    await runClock(clock, 1_000);
    expect(gatt.connections[1]?.written).toEqual([]);
    await runClock(clock, 610_000, { stepMs: 5_000 });
    made.send('$?*264C');
    await runClock(clock, 100);
    expect(gatt.connections[1]?.written).toEqual(['$?*264C\n']);
  });
});

describe('a board that comes and goes', () => {
  it('is told as out of reach, looked for with growing pauses of at most 10 s, and found again', async () => {
    const gone = Array.from({ length: 12 }, () => failed('not-heard'));
    const gatt = fakeGatt(fakeConnection, ...gone, fakeConnection);
    start(gatt);
    await up();
    gatt.connections[0]?.vanish();
    const triedAt: number[] = [];
    let seen = gatt.tries;
    await runClockUntil(clock, () => {
      if (gatt.tries > seen) triedAt.push(clock.now());
      seen = gatt.tries;
      return gatt.connections.length === 2;
    });
    const pauses = triedAt.slice(1).map((at, i) => at - (triedAt[i] ?? at));
    expect(pauses.slice(0, 4)).toEqual([1_000, 2_000, 4_000, 8_000]);
    expect(Math.max(...pauses)).toBeLessThanOrEqual(10_050);
    await up();
    const texts = told.standings.map(({ text }) => text);
    expect(texts[2]).toMatch(/^shed-1 is out of reach/);
    expect(texts[3]).toMatch(/^Nothing called shed-1 is heard over Bluetooth/);
    expect(texts).toHaveLength(5);
  });

  it.each([1, 2, 5])('connects once again, however often its end is told (%i times)', async (times) => {
    const gatt = fakeGatt(fakeConnection);
    start(gatt);
    await up();
    const [first] = gatt.connections;
    first?.vanish(times);
    await runClockUntil(clock, () => gatt.connections.length === 2 && isOpen());
    // The old connection is not heard any more.
    first?.listener.gone();
    first?.say('$L,2*F1CA\n');
    await runClock(clock, 20_000, { stepMs: 500 });
    expect(gatt.tries).toBe(2);
    expect(told.texts()).toEqual([]);
  });

  it('notices an end that nobody told, and a write that fails', async () => {
    const gatt = fakeGatt(
      fakeConnection,
      (listener) => fakeConnection(listener, { takes: false }),
      fakeConnection,
    );
    const made = start(gatt);
    await up();
    await gatt.connections[0]?.close();
    await runClockUntil(clock, () => gatt.connections.length === 2 && isOpen());
    made.send('$?*264C');
    await runClockUntil(clock, () => gatt.connections.length === 3 && isOpen());
    expect(gatt.connections[1]?.closed).toBe(true);
  });

  it('is connected anew when the lines say that it has been silent for too long', async () => {
    const gatt = fakeGatt(fakeConnection);
    const made = start(gatt);
    await up();
    made.reopen();
    expect(gatt.connections[0]?.closed).toBe(true);
    await runClockUntil(clock, () => gatt.connections.length === 2 && isOpen());
    expect(told.states()).toEqual(['connecting', 'open', 'connecting', 'open']);
  });

  it('gives up a try that never ends, goes on, and closes what it brings too late', async () => {
    let late: () => void = () => undefined;
    const hung = fakeGatt(() => new Promise<never>(() => undefined), fakeConnection);
    start(hung);
    await up();
    expect(hung.tries).toBe(2);
    expect(hung.aborted).toBe(1);
    expect(told.standings[1]?.text).toMatch(/does not answer over Bluetooth/);

    const bringsLate = fakeGatt(fakeConnection);
    const ours = recorder();
    let brought: ReturnType<typeof fakeConnection> | null = null;
    const slow = bleLink({
      target: TARGET,
      clock,
      gatt: {
        rest: () => undefined,
        connect: async (_target, listener) => {
          if (brought !== null) return bringsLate.connect(TARGET, listener, new AbortController().signal);
          const made = fakeConnection(listener);
          brought = made;
          await new Promise<void>((resolve) => {
            late = resolve;
          });
          return { ok: true, connection: made };
        },
      },
    })(ours);
    await runClockUntil(clock, () => ours.states().at(-1) === 'open');
    late();
    await runClock(clock, 100);
    expect((brought as ReturnType<typeof fakeConnection> | null)?.closed).toBe(true);
    expect(bringsLate.connections[0]?.closed).toBe(false);
    const closed = slow.close();
    await runClock(clock, 5_000, { stepMs: 500 });
    await closed;
  });

  it.each<[GattTrouble, string, RegExp]>([
    ['no-adapter', '', /has no Bluetooth .* plug in an adapter/],
    ['switched-off', '', /Bluetooth is switched off .* switch it on/],
    ['forbidden', '', /may not use Bluetooth: (add yourself|allow it)/],
    ['not-heard', '', /Nothing called shed-1 is heard/],
    ['no-service', '', /--ble-service/],
    ['no-notify', '', /--ble-notify/],
    ['no-write', '', /--ble-write/],
    ['failed', 'le-connection-abort.', /\(le-connection-abort\)/],
  ])('says what to do in one sentence, once: %s', async (why, detail, words) => {
    const gatt = fakeGatt(failed(why, detail));
    start(gatt);
    await runClockUntil(clock, () => gatt.tries > 5);
    const unplugged = told.standings.filter(({ state }) => state === 'unplugged');
    expect(unplugged).toHaveLength(1);
    expect(unplugged[0]?.text).toMatch(words);
    expect(unplugged[0]?.text).not.toMatch(/\.\s+[A-Z]/);
  });

  it('closes from everywhere, and leaves no timer behind', async () => {
    for (const answer of [fakeConnection, failed('not-heard'), () => new Promise<never>(() => undefined)]) {
      for (const afterMs of [0, 200, 3_000]) {
        const own = handClock(0);
        const gatt = fakeGatt(answer);
        const made = bleLink({ target: TARGET, gatt, clock: own })(recorder());
        await runClock(own, afterMs);
        const closed = made.close();
        await runClock(own, 5_000, { stepMs: 500 });
        await closed;
        expect(own.waiting()).toBe(0);
        expect(gatt.rests).toBe(1);
        expect(gatt.connections.every((one) => one.closed)).toBe(true);
      }
    }
  });
});
