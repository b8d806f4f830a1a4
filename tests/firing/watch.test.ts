import { cp } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { formatBoardLine, type Hello } from '../../protocol/board-lines.ts';
import { formatTime } from '../../protocol/times.ts';
import { readCsv } from '../support/archive-file.ts';
import { tempFolder } from '../support/collector.ts';
import { type ScriptedWatch, SHED, START, scriptedWatch } from './scripted-watch.ts';

const readingRows = async ({ firing }: ScriptedWatch) => {
  await firing.archive.flush();
  return readCsv(join(firing.archive.folder, 'readings.csv'));
};

/** A note with lists in one another, `depth` of them. */
function nested(depth: number): unknown {
  let inner: unknown = 'ash';
  for (let i = 0; i < depth; i += 1) inner = [inner];
  return inner;
}

describe('the lamp', () => {
  it('is told of an alert within a second, and is quiet once somebody has answered', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(1);
    const lamps = () =>
      scripted.sent.filter((line) => line.startsWith('$L,')).map((line) => line.slice(1, 4));
    scripted.watch.trouble('The disk is full.');
    scripted.readings(1);
    expect(lamps().at(-1)).toBe('L,2');
    expect(scripted.watch.log({ log: 'ack', alert: 'archive-trouble', who: 'Mira' }, 'page')).toBeNull();
    expect(lamps().at(-1)).toBe('L,0');
    const { alerts } = scripted.firing.feed.view({ width: 500 });
    expect(alerts).toMatchObject([
      { alert: { acknowledged: { who: 'Mira', where: 'page', stage: 'before' } } },
    ]);
  });
});

describe('the lamp, when somebody tries it', () => {
  it('calls its loudest for three seconds, and then as it stands', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(1);
    const lamps = () =>
      scripted.sent.filter((line) => line.startsWith('$L,')).map((line) => line.slice(1, 4));
    expect(scripted.watch.tryLamp()).toBeNull();
    expect(lamps().at(-1)).toBe('L,2');
    scripted.readings(2);
    expect(lamps().at(-1)).toBe('L,2');
    scripted.readings(2);
    expect(lamps().at(-1)).toBe('L,0');
  });

  it('says so where no board is connected', async () => {
    const scripted = await scriptedWatch();
    scripted.link.standing('unplugged', 'gone');
    expect(scripted.watch.tryLamp()).toContain('No board is connected');
  });
});

describe('a fault of the program itself', () => {
  it('costs the output that it struck, is told once, and the watch goes on', async () => {
    const scripted = await scriptedWatch();
    const { firing, said } = scripted;
    scripted.hello();
    const publish = firing.feed.publish;
    let failing = true;
    firing.feed.publish = (output) => {
      if (failing && output.kind === 'reading') throw new Error('the feed has a fault');
      publish(output);
    };
    scripted.readings(3);
    failing = false;
    scripted.readings(2);
    expect(await readingRows(scripted)).toHaveLength(5);
    expect(firing.feed.beat().lastReadingAt).toBe(START + 5000);
    expect(said.filter((text) => text.includes('the feed has a fault'))).toHaveLength(1);
    expect((await scripted.logRows()).some(({ json }) => json?.includes('the feed has a fault'))).toBe(true);
  });

  it('in the core costs one input, and the next one is worked off', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(1);
    const { lives } = scripted.firing.beginning.pipeline.core;
    const get = lives.get.bind(lives);
    let faults = 0;
    lives.get = (key) => {
      faults += 1;
      if (faults === 1) throw new Error('the core has a fault');
      return get(key);
    };
    scripted.readings(3);
    expect(faults).toBeGreaterThan(1);
    expect((await readingRows(scripted)).length).toBeGreaterThanOrEqual(3);
    expect(scripted.said.filter((text) => text.includes('the core has a fault'))).toHaveLength(1);
  });

  it('is told to the page whose entry it struck, and not taken for written', async () => {
    const scripted = await scriptedWatch();
    scripted.firing.feed.publishLog = () => {
      throw new Error('the book has a fault');
    };
    expect(scripted.watch.log({ log: 'note', id: 'n1', note: 'ash' }, 'page')).toContain(
      'the book has a fault',
    );
  });
});

describe('an entry of a page', () => {
  it('that is nested without end is refused, and nothing stops', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    const entry = { log: 'note', id: 'deep', note: 'x', more: nested(30_000) };
    expect(scripted.watch.log(entry, 'page')).toContain('cannot be read');
    scripted.readings(2);
    expect(await readingRows(scripted)).toHaveLength(2);
    expect(scripted.watch.log({ log: 'note', id: 'flat', note: 'x', more: nested(20) }, 'page')).toBeNull();
  });

  it.each([
    ['the year 9999', '9999-12-31T23:59:59Z', null],
    ['the year 1', '0001-01-01T00:00:00Z', null],
    ['two hours ahead', formatTime(START + 2 * 3_600_000), null],
    ['a minute ahead, as a clock that is off a little', formatTime(START + 60_000), START + 60_000],
    ['yesterday', formatTime(START - 86_400_000), START - 86_400_000],
  ])('from %s: its own time is kept only if it can be', async (_when, at, kept) => {
    const scripted = await scriptedWatch();
    expect(scripted.watch.log({ log: 'stoke', id: 's1', hole: 'left', at }, 'page')).toBeNull();
    const row = (await scripted.logRows()).find(({ log }) => log === 'stoke');
    expect(row?.at).toBe(formatTime(kept ?? START));
  });

  it('that comes while the collector stops is not taken for written', async () => {
    const scripted = await scriptedWatch();
    await scripted.watch.close();
    expect(scripted.watch.log({ log: 'note', id: 'n1', note: 'ash' }, 'page')).toContain('being stopped');
  });
});

describe('a board in trouble', () => {
  const notes = async (scripted: ScriptedWatch) =>
    (await scripted.logRows())
      .filter(({ log }) => log === 'note')
      .map(({ json }) => JSON.parse(json ?? '').note);

  it('that restarts all the time is told at once, then summed up ever more seldom', async () => {
    const scripted = await scriptedWatch();
    for (let second = 0; second < 600; second += 1) {
      scripted.hello({ ...SHED, boot: second.toString(16).toUpperCase().padStart(8, '0') });
      scripted.clock.advance(1000);
    }
    const told = (await notes(scripted)).filter((note) => note.includes('started anew'));
    expect(told[0]).toBe('The board shed-1 has started anew.');
    expect(told[1]).toMatch(/^The board shed-1 has started anew \d+ times more/);
    // At 1 s, then after 1, 2 and 4 min.
    expect(told).toHaveLength(4);
  });

  it('that loses every other reading fills no log book with it, and each loss is counted', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    for (let second = 0; second < 600; second += 1) {
      scripted.skipReading();
      scripted.readings(1);
    }
    scripted.clock.advance(3_600_000);
    const told = (await notes(scripted)).filter((note) => note.includes('gone'));
    expect(told.length).toBeLessThan(8);
    const lost = told.map((note) => Number(/ (\d+) more readings/.exec(note)?.[1] ?? 1));
    // What was lost before the first reading is not missed.
    expect(lost.reduce((sum, count) => sum + count, 0)).toBe(599);
  });
});

describe('a button at the kiln', () => {
  it('that bounces counts once, and twice when it is pressed twice', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(1);
    for (const seq of [0, 1, 2]) scripted.press(seq, 3);
    scripted.readings(2);
    scripted.press(3, 3);
    expect((await scripted.logRows()).filter(({ log }) => log === 'salt')).toHaveLength(2);
  });

  it('counts at each press, whatever id the plan gives its meaning', async () => {
    const scripted = await scriptedWatch();
    const plan = scripted.firing.beginning.pipeline.core.plan;
    const buttons = { '3': { log: 'salt', hole: 'left', id: 'always-this' } };
    expect(scripted.watch.log({ ...plan, buttons, log: 'plan' }, 'page')).toBeNull();
    scripted.hello();
    scripted.readings(1);
    for (const seq of [0, 1]) {
      scripted.press(seq, 3);
      scripted.readings(1);
    }
    expect((await scripted.logRows()).filter(({ log }) => log === 'salt')).toHaveLength(2);
  });
});

describe('a press that the board tells again', () => {
  const SALT = formatBoardLine({ kind: 'button', seq: 0, uptimeMs: 2100, button: 3 });
  const NO_MEANING = formatBoardLine({ kind: 'button', seq: 1, uptimeMs: 2900, button: 8 });
  const presses = (rows: Record<string, string>[]) =>
    rows
      .filter(({ log, json }) => log === 'salt' || json?.includes('no meaning'))
      .map(({ log, at }) => [log, at]);

  it('is in the log once, also by a collector that was started anew meanwhile', async () => {
    const scripted = await scriptedWatch();
    const { link, clock, firing } = scripted;
    scripted.hello();
    scripted.readings(3);
    for (let times = 0; times < 2; times += 1) {
      for (const line of [SALT, NO_MEANING]) link.line(clock.now(), line);
      scripted.readings(1);
    }
    const told = presses(await scripted.logRows());
    expect(told.map(([log]) => log)).toEqual(['salt', 'note']);

    const copy = tempFolder();
    onTestFinished(() => copy.remove());
    const folder = join(copy.path, firing.archive.id);
    await cp(firing.archive.folder, folder, { recursive: true });
    const again = await scriptedWatch([''], folder);
    again.hello();
    for (const line of [SALT, NO_MEANING]) again.link.line(again.clock.now(), line);
    expect(presses(await again.logRows())).toEqual(told);
  });
});

describe('a capture with several links', () => {
  it('keeps the boards of each link apart', async () => {
    const scripted = await scriptedWatch();
    const { link, clock } = scripted;
    const back: Hello = { ...SHED, board: 'shed-2', boot: '000000BB' };
    link.line(clock.now(), formatBoardLine({ kind: 'hello', hello: SHED }), 'front');
    link.line(clock.now(), formatBoardLine({ kind: 'hello', hello: back }), 'back');
    for (let seq = 0; seq < 5; seq += 1) {
      clock.advance(1000);
      const reading = { kind: 'reading' as const, seq, uptimeMs: seq * 1000, coldJunctionC: 20 };
      link.line(clock.now(), formatBoardLine({ ...reading, values: [500 + seq] }), 'front');
      link.line(clock.now(), formatBoardLine({ ...reading, values: [800 + seq] }), 'back');
    }
    const rows = await readingRows(scripted);
    const temps = (board: string) => rows.filter((row) => row.board === board).map((row) => Number(row.raw));
    expect(temps('shed-1')).toEqual([500, 501, 502, 503, 504]);
    expect(temps('shed-2')).toEqual([800, 801, 802, 803, 804]);
  });
});
