import { cp } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { FiringState } from '../../collector/core/state.ts';
import { type Firing, newFiringOnDisk, pickUpFiring } from '../../collector/firing/begin.ts';
import { type Pipeline, pipelineStep } from '../../collector/firing/pipeline.ts';
import { startWatch } from '../../collector/firing/watch.ts';
import { captureStart, readCapture } from '../../collector/links/capture-reader.ts';
import type { LinkHandlers } from '../../collector/links/link.ts';
import type { CaptureLine } from '../../protocol/capture.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { handClock } from '../links/hand-clock.ts';
import { readCsv } from '../support/archive-file.ts';
import { tempFolder } from '../support/collector.ts';

const CUTS = [
  { capture: 'good-firing', shares: [0.01, 0.83] },
  { capture: 'failing-probe-pulled-cable-restart', shares: [0.3, 0.55, 1] },
];
const folders: { remove: () => void }[] = [];

afterAll(() => {
  for (const folder of folders.splice(0)) folder.remove();
});

function settingsFor(clock: ReturnType<typeof handClock>, dataFolder: string) {
  return {
    clock,
    dataFolder,
    plan: { ...defaultPlan(), name: 'kept' },
    source: 'board' as const,
    run: 'test',
    onTrouble: () => undefined,
    say: () => undefined,
  };
}

/** A collector that watches the capture's lines as a live one does, as far as it is told, and never says goodbye. */
async function watchCapture(capture: string) {
  const path = join('sample-captures', `${capture}.capture`);
  const lines: CaptureLine[] = [];
  for await (const batch of readCapture(path)) lines.push(...batch.lines);
  const data = tempFolder();
  folders.push(data);
  const clock = handClock(await captureStart(path));
  const settings = settingsFor(clock, data.path);
  const firing = await newFiringOnDisk(settings);
  let handlers: LinkHandlers | null = null;
  const watch = startWatch(
    {
      ...settings,
      ...firing,
      links: [
        {
          name: '',
          open: (given) => {
            handlers = given;
            return {
              name: 'scripted',
              send: () => undefined,
              reopen: () => undefined,
              close: async () => undefined,
            };
          },
        },
      ],
    },
    firing.beginning,
  );
  const link = handlers as LinkHandlers | null;
  if (link === null) throw new Error('the link was not opened');
  watch.log({ log: 'plan', ...settings.plan }, 'test');
  link.standing('open', 'open');
  let next = 0;
  return {
    firing,
    settings,
    clock,
    data: data.path,
    /** On to this share of the file; all of it is on the disk then. */
    async upTo(share: number): Promise<void> {
      for (const { at, direction, text } of lines.slice(next, Math.floor(share * lines.length))) {
        clock.advance(at - clock.now());
        if (direction === '<') link.line(at, text);
        else if (direction === '@') link.logged(at, JSON.parse(text));
      }
      next = Math.floor(share * lines.length);
      await firing.archive.flush();
    },
  };
}

/** Both are brought to the same second: a recovered firing stands at its last input. */
function stateAt(pipeline: Pipeline, at: number): FiringState {
  // The first tick of a pipeline only says what time it is.
  for (const hostAt of [at, at + pipeline.slackMs]) pipelineStep(pipeline, { kind: 'tick', at: hostAt });
  return pipeline.core;
}

const alertsIn = (folder: string) => readCsv(join(folder, 'log.csv')).filter((row) => row.log === 'alert');

describe.each(CUTS)('a firing picked up again: $capture', ({ capture, shares }) => {
  let watched: Awaited<ReturnType<typeof watchCapture>>;
  beforeAll(async () => {
    watched = await watchCapture(capture);
  });
  afterAll(() => watched.firing.archive.close());

  it.each(shares)('has the very state it had, cut at %d of it', async (share) => {
    const { firing, settings, clock, data } = watched;
    await watched.upTo(share);
    // What lies on the disk now is what a kill -9 leaves.
    const copy = tempFolder();
    folders.push(copy);
    await cp(data, copy.path, { recursive: true });
    const again: Firing = await pickUpFiring(settings, join(copy.path, firing.archive.id));
    const at = Math.ceil(clock.now() / 1000) * 1000 + 60_000;
    const recovered = stateAt(again.beginning.pipeline, at);
    // The one that is watched goes on to the next cut: a state is used up by what it is fed.
    const live = stateAt(structuredClone(firing.beginning.pipeline), at);
    expect(recovered.probes.length).toBeGreaterThan(0);
    expect(recovered).toEqual(live);

    await again.archive.close();
    expect(alertsIn(join(copy.path, firing.archive.id))).toEqual(alertsIn(firing.archive.folder));
  });
});
