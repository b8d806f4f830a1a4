import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { formatBoardLine, formatCollectorLine, type Hello } from '../../protocol/board-lines.ts';
import { readCsv } from '../support/archive-file.ts';
import { type ScriptedWatch, SHED, scriptedWatch } from './scripted-watch.ts';

const BACK: Hello = { ...SHED, board: 'shed-2', boot: '000000BB' };

/** Both boards say hello and then read once a second, `count` times; the front's kiln is the hotter one. */
function twoBoards({ links, clock }: ScriptedWatch, count: number): void {
  const [front, back] = links;
  front?.line(clock.now(), formatBoardLine({ kind: 'hello', hello: SHED }));
  back?.line(clock.now(), formatBoardLine({ kind: 'hello', hello: BACK }));
  for (let seq = 0; seq < count; seq += 1) {
    clock.advance(1000);
    const reading = { kind: 'reading' as const, seq, uptimeMs: seq * 1000, coldJunctionC: 20 };
    front?.line(clock.now(), formatBoardLine({ ...reading, values: [500 + seq] }));
    back?.line(clock.now(), formatBoardLine({ ...reading, values: [400 + seq] }));
  }
}

const rowsOf = async ({ firing }: ScriptedWatch) => {
  await firing.archive.flush();
  return readCsv(join(firing.archive.folder, 'readings.csv'));
};

describe('two boards at two ports in one firing', () => {
  it('are both read, and a probe name that both have gets the board in front of it', async () => {
    const scripted = await scriptedWatch(['ttyUSB0', 'ttyUSB1']);
    twoBoards(scripted, 5);
    const { core } = scripted.firing.beginning.pipeline;
    expect(core.probes.map(({ label, last }) => [label, last?.tempC])).toEqual([
      ['low', 504],
      ['shed-2 low', 404],
    ]);
    const rows = await rowsOf(scripted);
    const raw = (board: string) => rows.filter((row) => row.board === board).map((row) => row.raw);
    expect(raw('shed-1')).toEqual(['500', '501', '502', '503', '504']);
    expect(raw('shed-2')).toEqual(['400', '401', '402', '403', '404']);
    expect(scripted.firing.feed.beat().links.map(({ link, state }) => [link, state])).toEqual([
      ['ttyUSB0', 'open'],
      ['ttyUSB1', 'open'],
    ]);
  });

  it('are told apart in the capture, and each hears its own lamp', async () => {
    const scripted = await scriptedWatch(['ttyUSB0', 'ttyUSB1']);
    twoBoards(scripted, 3);
    await scripted.firing.archive.flush();
    const capture = readFileSync(join(scripted.firing.archive.folder, 'link.capture'), 'utf8');
    expect(capture.match(/Z <ttyUSB0 \$R/g)).toHaveLength(3);
    expect(capture.match(/Z <ttyUSB1 \$R/g)).toHaveLength(3);
    expect(capture).toMatch(/Z >ttyUSB1 \$\?\*264C/);
    for (const name of ['ttyUSB0', 'ttyUSB1'])
      expect(
        scripted.sent.filter((line) => line === `${name} ${formatCollectorLine({ kind: 'lamp', level: 0 })}`)
          .length,
      ).toBeGreaterThan(0);
  });

  it('go on without each other: what one has missed is asked of that one alone', async () => {
    const scripted = await scriptedWatch(['a', 'b']);
    const keeps = 3600;
    const { links, clock, sent } = scripted;
    const [front, back] = links;
    front?.line(clock.now(), formatBoardLine({ kind: 'hello', hello: { ...SHED, keeps } }));
    back?.line(clock.now(), formatBoardLine({ kind: 'hello', hello: { ...BACK, keeps } }));
    for (let seq = 0; seq < 120; seq += 1) {
      clock.advance(1000);
      const text = formatBoardLine({
        kind: 'reading',
        seq,
        uptimeMs: seq * 1000,
        coldJunctionC: 20,
        values: [500],
      });
      front?.line(clock.now(), text);
      if (seq === 40) back?.standing('unplugged', 'gone');
      if (seq === 100) {
        back?.standing('open', 'open');
        back?.line(clock.now(), formatBoardLine({ kind: 'hello', hello: { ...BACK, keeps } }));
      }
      if (seq < 40 || seq > 100) back?.line(clock.now(), text);
    }
    const rows = await rowsOf(scripted);
    expect(scripted.said).toContain('b: gone');
    expect(rows.filter((row) => row.board === 'shed-1')).toHaveLength(120);
    const asked = sent.filter((line) => line.includes('$G'));
    expect(asked[0]).toMatch(/^b \$G,40,100\*/);
    expect(asked.every((line) => line.startsWith('b '))).toBe(true);
  });

  it('that have one name are told of, and the first is believed', async () => {
    const scripted = await scriptedWatch(['a', 'b']);
    const { links, clock } = scripted;
    links[0]?.line(clock.now(), formatBoardLine({ kind: 'hello', hello: SHED }));
    links[1]?.line(clock.now(), formatBoardLine({ kind: 'hello', hello: { ...SHED, boot: '000000BB' } }));
    const reading = { kind: 'reading' as const, seq: 0, uptimeMs: 0, coldJunctionC: 20 };
    links[0]?.line(clock.now(), formatBoardLine({ ...reading, values: [500] }));
    links[1]?.line(clock.now(), formatBoardLine({ ...reading, values: [400] }));
    expect((await rowsOf(scripted)).map((row) => row.raw)).toEqual(['500']);
    expect(scripted.said.filter((text) => text.includes('Two boards call themselves shed-1'))).toHaveLength(
      1,
    );
  });
});
