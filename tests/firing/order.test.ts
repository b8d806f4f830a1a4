/** The archive keeps readings and entries apart: that the order of both can be told from it again, whatever came when. */
import { cp } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { newFiringOnDisk, pickUpFiring } from '../../collector/firing/begin.ts';
import { type Pipeline, pipelineStep } from '../../collector/firing/pipeline.ts';
import { startWatch } from '../../collector/firing/watch.ts';
import { demoLink } from '../../collector/links/demo.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { handClock } from '../links/hand-clock.ts';
import { tempFolder } from '../support/collector.ts';
import { SHED, START, scriptedWatch } from './scripted-watch.ts';

const folders: { path: string; remove: () => void }[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) folder.remove();
});

type Happening = 'live' | 'lost' | 'late' | 'pulled' | 'put-back' | 'offset' | 'note';

const happenings = fc.array(
  fc.oneof(
    { weight: 6, arbitrary: fc.constant<Happening>('live') },
    { weight: 3, arbitrary: fc.constant<Happening>('lost') },
    { weight: 3, arbitrary: fc.constant<Happening>('late') },
    { weight: 2, arbitrary: fc.constantFrom<Happening>('pulled', 'put-back', 'offset', 'note') },
  ),
  { minLength: 20, maxLength: 60 },
);

/** Both are brought to the same second. */
function stateAt(pipeline: Pipeline, at: number) {
  for (const hostAt of [at, at + pipeline.slackMs]) pipelineStep(pipeline, { kind: 'tick', at: hostAt });
  return pipeline.core;
}

describe('late readings among log entries', () => {
  it('go in again in the order in which they went in first: the picked-up state is the very same', async () => {
    await fc.assert(
      fc.asyncProperty(happenings, async (script) => {
        const scripted = await scriptedWatch();
        const { clock, link, watch, firing } = scripted;
        scripted.hello({ ...SHED, keeps: 3600 });
        const lost: string[] = [];
        let seq = 0;
        const next = () => {
          clock.advance(1000);
          const values = [500 + (seq % 7) + seq / 10];
          const text = formatBoardLine({
            kind: 'reading',
            seq,
            uptimeMs: seq * 1000,
            coldJunctionC: 20,
            values,
          });
          seq += 1;
          return text;
        };
        for (const [n, what] of script.entries()) {
          clock.advance(100);
          if (what === 'live') link.line(clock.now(), next());
          else if (what === 'lost') lost.push(next());
          else if (what === 'late') link.line(clock.now(), lost.shift() ?? next());
          else if (what === 'offset')
            watch.log(
              {
                ...firing.beginning.pipeline.core.plan,
                offsets: [{ probe: 'low', offsetC: n }],
                log: 'plan',
              },
              'page',
            );
          else if (what === 'note') watch.log({ log: 'note', note: String(n) }, 'page');
          else watch.log({ log: what, probe: 'low' }, 'page');
        }
        link.line(clock.now(), next());
        await firing.archive.flush();
        const copy = tempFolder();
        folders.push(copy);
        await cp(firing.archive.folder, join(copy.path, 'copy'), { recursive: true });
        const again = await pickUpFiring(
          {
            clock,
            dataFolder: copy.path,
            plan: defaultPlan(),
            source: 'board',
            run: 'again',
            onTrouble: () => undefined,
            say: () => undefined,
          },
          join(copy.path, 'copy'),
        );
        const at = Math.ceil(clock.now() / 1000) * 1000 + 10_000;
        expect(stateAt(again.beginning.pipeline, at)).toEqual(stateAt(firing.beginning.pipeline, at));
        await again.archive.close();
      }),
      { numRuns: 15 },
    );
  });
});

it('a demo kiln on a machine that is held up is never silent: its lines have times of their own', async () => {
  const data = tempFolder();
  folders.push(data);
  const clock = handClock(START);
  const said: string[] = [];
  const settings = {
    clock,
    dataFolder: data.path,
    plan: { ...defaultPlan(), name: 'demo' },
    source: 'demo' as const,
    run: 'test',
    say: (text: string) => void said.push(text),
  };
  const firing = await newFiringOnDisk({ ...settings, onTrouble: () => undefined });
  const watch = startWatch(
    { ...settings, ...firing, links: [{ name: '', open: demoLink({ clock, seed: 1 }) }] },
    firing.beginning,
  );
  clock.advance(60_000);
  for (let n = 0; n < 20; n += 1) {
    // Ten minutes of its time go by with nothing run, then a moment.
    clock.skip(600_000);
    clock.advance(1000);
  }
  expect(watch.log({ log: 'note', note: 'still here' }, 'page')).toBeNull();
  expect(said.filter((text) => /says nothing|link-silent/.test(text))).toEqual([]);
  const last = firing.feed.beat().lastReadingAt ?? 0;
  expect(clock.now() - last).toBeLessThan(20_000);
  await watch.close();
});
