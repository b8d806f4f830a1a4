import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { keepsLine, leftOutNote, newJunkRun } from '../../collector/firing/junk.ts';
import { scriptedWatch } from './scripted-watch.ts';

describe('junk in a row', () => {
  it('is written down for a while, then sampled, and counted', () => {
    const run = newJunkRun();
    const kept = Array.from({ length: 10_000 }, () => keepsLine(run, true)).filter(Boolean).length;
    expect(kept).toBe(200 + 10);
    expect(leftOutNote(run)).toBe('9790 more lines that make no sense were left out here');
    expect(leftOutNote(run)).toBeNull();
    expect(keepsLine(run, false)).toBe(true);
    expect(keepsLine(run, true)).toBe(true);
  });

  it('of a whole night at a wrong speed takes little of the disk, and what makes sense again is there', async () => {
    const scripted = await scriptedWatch();
    const { link, clock, firing } = scripted;
    for (let n = 0; n < 20_000; n += 1) {
      if (n % 20 === 0) clock.advance(1000);
      link.line(clock.now(), `\u00f3\u0081~${'x'.repeat(300)}${n}`);
    }
    scripted.hello();
    scripted.readings(3);
    await firing.archive.flush();
    const path = join(firing.archive.folder, 'link.capture');
    expect(statSync(path).size).toBeLessThan(200_000);
    const text = readFileSync(path, 'utf8');
    const left = [...text.matchAll(/# (\d+) more lines that make no sense/g)].map(([, count]) =>
      Number(count),
    );
    const kept = text.match(/x{300}/g)?.length ?? 0;
    expect(left.reduce((sum, count) => sum + count, 0) + kept).toBe(20_000);
    expect(text.match(/ < \$R,/g)).toHaveLength(3);
    expect(firing.feed.beat().links[0]?.badLines).toBe(20_000);
  });
});
