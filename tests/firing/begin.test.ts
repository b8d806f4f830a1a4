import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { newFiringOnDisk, pickUpFiring } from '../../collector/firing/begin.ts';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import { planSchema } from '../../protocol/plan.ts';
import { handClock } from '../links/hand-clock.ts';
import { readCsv } from '../support/archive-file.ts';
import { tempFolder } from '../support/collector.ts';
import { SHED, START, scriptedWatch } from './scripted-watch.ts';

const folders: { remove: () => void }[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) folder.remove();
});

function settings() {
  const data = tempFolder();
  folders.push(data);
  return {
    clock: handClock(START),
    dataFolder: data.path,
    plan: planSchema.parse({ name: 'kept', topC: 1234 }),
    source: 'board' as const,
    run: 'test',
    onTrouble: () => undefined,
    say: () => undefined,
  };
}

describe('a firing that is gone on with', () => {
  it('has its plan to be logged yet, if it was stopped before that', async () => {
    const began = settings();
    const { archive } = await newFiringOnDisk(began);
    await archive.close();
    const again = await pickUpFiring(began, archive.folder);
    expect(again.newPlan).toEqual(began.plan);
    await again.archive.close();
  });

  it('knows its boards and readings though the log was deleted', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(5);
    const { archive } = scripted.firing;
    await archive.flush();
    rmSync(join(archive.folder, 'log.csv'));
    const again = await pickUpFiring(settings(), archive.folder);
    const { core } = again.beginning.pipeline;
    expect(core.now).toBe(START + 5000);
    expect(core.probes.map(({ label, last }) => [label, last?.tempC])).toEqual([['low', 20.04]]);
    expect(again.feed.view({ width: 100 }).probes).toEqual([{ name: 'low', couple: 'K' }]);
    await again.archive.close();
  });

  it('has no alert up for ever whose cause was not written down, and it can be answered when it comes again', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(5);
    scripted.watch.trouble('The disk is full.');
    scripted.watch.trouble('The phone of Mira is not heard.', 'phones');
    scripted.readings(5);
    const { archive } = scripted.firing;
    await archive.flush();
    const again = await scriptedWatch([''], archive.folder);
    const { folder, id } = again.firing.archive;
    const up = async () => {
      await again.firing.archive.flush();
      const past = await createPastFirings(join(folder, '..'), () => undefined).view(id, { width: 100 });
      return past?.alerts.map(({ alert, clearedAt }) => [
        alert.name,
        clearedAt !== null,
        alert.acknowledged?.who,
      ]);
    };
    const over = [
      ['archive-trouble', true, undefined],
      ['phone-silent', true, undefined],
    ];
    expect(await up()).toEqual(over);
    again.hello({ ...SHED, boot: '000000BB' });
    again.watch.trouble('The disk is full.');
    again.readings(3);
    const raised = again.firing.feed
      .view({ width: 100 })
      .alerts.find(({ alert }) => alert.name === 'archive-trouble');
    again.watch.log({ log: 'ack', alert: raised?.alert.id, who: 'Jon' }, 'page');
    expect(await up()).toEqual([...over, ['archive-trouble', false, 'Jon']]);
    // Once is enough.
    await again.watch.close();
    await (await pickUpFiring(settings(), folder)).archive.close();
    await (await pickUpFiring(settings(), folder)).archive.close();
    const cleared = readCsv(join(folder, 'log.csv')).filter(({ json }) => json?.includes('"cleared"'));
    expect(cleared).toHaveLength(3);
  });

  it('has none to be logged where the log has one', async () => {
    const { firing } = await scriptedWatch();
    await firing.archive.flush();
    const again = await pickUpFiring(settings(), firing.archive.folder);
    expect(again.newPlan).toBeNull();
    await again.archive.close();
  });
});
