import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { newFiringOnDisk } from '../../collector/firing/begin.ts';
import { startWatch } from '../../collector/firing/watch.ts';
import { captureLink } from '../../collector/links/capture-link.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { CAPTURE_HEADER, formatCaptureLine } from '../../protocol/capture.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { handClock, runClock, runClockUntil } from '../links/hand-clock.ts';
import { readCsv } from '../support/archive-file.ts';
import { tempFolder } from '../support/collector.ts';
import { SHED, START } from './scripted-watch.ts';

const folders: { path: string; remove: () => void }[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) folder.remove();
});

/** A minute of readings of a board that keeps them, of which some in the middle never came. */
function captureWithGap(): string {
  const at = (s: number) => START + s * 1000;
  const line = (s: number, text: string) => formatCaptureLine({ at: at(s), direction: '<', link: '', text });
  const lines = [
    CAPTURE_HEADER,
    line(0, formatBoardLine({ kind: 'hello', hello: { ...SHED, keeps: 3600 } })),
  ];
  for (let seq = 0; seq < 60; seq += 1)
    if (seq < 40 || seq > 50)
      lines.push(
        line(
          seq + 1,
          formatBoardLine({
            kind: 'reading',
            seq,
            uptimeMs: seq * 1000,
            coldJunctionC: 20,
            values: [20 + seq],
          }),
        ),
      );
  return `${lines.join('\n')}\n`;
}

describe('a played capture that has come to its end with a gap that was still asked for', () => {
  it('stays finished: no board is silent, and nothing is raised, however long it stands', async () => {
    const data = tempFolder();
    folders.push(data);
    const path = join(data.path, 'gap.capture');
    writeFileSync(path, captureWithGap());
    const clock = handClock(START);
    const said: string[] = [];
    const settings = {
      clock,
      dataFolder: data.path,
      plan: { ...defaultPlan(), name: 'played' },
      source: 'capture' as const,
      run: 'test',
      say: (text: string) => void said.push(text),
    };
    const firing = await newFiringOnDisk({ ...settings, onTrouble: () => undefined });
    const watch = startWatch(
      { ...settings, ...firing, links: [{ name: '', open: captureLink({ path, clock }) }] },
      firing.beginning,
    );
    const state = () => firing.feed.beat().links[0]?.state;
    await runClockUntil(clock, () => state() === 'finished', { stepMs: 500, onDisk: true });
    const saidBefore = said.length;
    await runClock(clock, 3_600_000, { stepMs: 60_000 });
    expect(state()).toBe('finished');
    // What a page says afterwards moves no time on either.
    expect(watch.log({ log: 'note', id: 'n1', note: 'seen' }, 'page')).toBeNull();
    await watch.close();
    const rows = readCsv(join(firing.archive.folder, 'log.csv'));
    expect(rows.filter(({ log }) => log === 'alert')).toEqual([]);
    expect(rows.some(({ json }) => json?.includes('"seen"'))).toBe(true);
    expect(said.slice(saidBefore)).toEqual([]);
    expect(readCsv(join(firing.archive.folder, 'readings.csv'))).toHaveLength(49);
  });
});
