/** After a restart and after a pause those are called who have to be, and nobody for what is over in a moment. */
import { describe, expect, it } from 'vitest';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { type ScriptedWatch, SHED, scriptedWatch } from './scripted-watch.ts';

/** One reading a second of a couple that is broken: 'probe-fault' is raised. */
function broken({ clock, link }: ScriptedWatch, from: number, count: number): void {
  for (let seq = from; seq < from + count; seq += 1) {
    clock.advance(1000);
    link.line(
      clock.now(),
      formatBoardLine({
        kind: 'reading',
        seq,
        uptimeMs: seq * 1000,
        coldJunctionC: 20,
        values: ['!open'],
      }),
    );
  }
}

const toldOf = ({ told }: ScriptedWatch) =>
  told.map((output) =>
    output.kind === 'alert' ? `${output.name} ${output.state}` : `${output.standing.name} ${output.change}`,
  );

/** A firing with an alert up, stopped; and gone on with `after` ms after its start. */
async function restarted(after: number, meanwhile: (before: ScriptedWatch) => void = () => undefined) {
  const before = await scriptedWatch();
  before.hello();
  before.readings(5);
  broken(before, 5, 45);
  expect(toldOf(before)).toEqual(['probe-fault raised']);
  meanwhile(before);
  await before.firing.archive.flush();
  const again = await scriptedWatch([''], before.firing.archive.folder, after);
  again.hello({ ...SHED, boot: '000000BB' });
  return again;
}

const raisedIn = async (scripted: ScriptedWatch) =>
  (await scripted.logRows())
    .filter(({ log }) => log === 'alert')
    .map(({ json }) => JSON.parse(json ?? '') as { name: string; state: string })
    .map(({ name, state }) => `${name} ${state}`);

describe('a firing that is gone on with', () => {
  it('calls for what stood unanswered, and not for the silence of its own absence', async () => {
    const again = await restarted(5 * 60_000);
    broken(again, 0, 28);
    expect(toldOf(again)).toEqual([]);
    broken(again, 28, 4);
    expect(toldOf(again)).toEqual(['probe-fault changed']);
    expect(again.told[0]?.standing).toMatchObject({ acknowledged: null, returnedAt: null });
    expect(await raisedIn(again)).toEqual([
      'probe-fault raised',
      'link-silent raised',
      'link-silent cleared',
    ]);
    broken(again, 32, 60);
    expect(toldOf(again)).toEqual(['probe-fault changed']);
  });

  it('calls nobody for what was answered', async () => {
    const again = await restarted(2 * 60_000, ({ watch }) =>
      watch.log({ log: 'ack', alert: 'probe-fault', who: 'Mira' }, 'page'),
    );
    broken(again, 0, 60);
    expect(toldOf(again)).toEqual([]);
  });

  it('says so at once when somebody answers while it holds back, and calls no more', async () => {
    const again = await restarted(2 * 60_000);
    broken(again, 0, 5);
    again.watch.log({ log: 'ack', alert: 'probe-fault', who: 'Mira' }, 'page');
    expect(toldOf(again)).toEqual(['probe-fault acknowledged']);
    broken(again, 5, 60);
    expect(toldOf(again)).toEqual(['probe-fault acknowledged']);
  });

  it('calls for a board that stays silent, once it has had its time', async () => {
    const again = await restarted(5 * 60_000);
    again.clock.advance(29_000);
    expect(toldOf(again)).toEqual([]);
    again.clock.advance(2000);
    expect(toldOf(again).sort()).toEqual(['link-silent changed', 'probe-fault changed']);
  });
});

describe('a watch that did not run for ten minutes', () => {
  it.each(['a line', 'a look'])('calls nobody where the board went on; %s comes first', async (first) => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(30);
    scripted.clock.skip(600_000);
    if (first === 'a look') scripted.clock.advance(500);
    broken(scripted, 630, 20);
    expect(toldOf(scripted)).toEqual([]);
    expect(await raisedIn(scripted)).toEqual(['link-silent raised', 'link-silent cleared']);
  });

  it('calls for what is raised meanwhile and still stands when it no longer holds back', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.readings(30);
    scripted.clock.skip(600_000);
    broken(scripted, 630, 5);
    scripted.watch.trouble('The disk is full.');
    broken(scripted, 635, 20);
    expect(toldOf(scripted)).toEqual([]);
    broken(scripted, 655, 10);
    expect(toldOf(scripted)).toContain('archive-trouble changed');
  });

  it('does not call anew for what it was calling for already', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    broken(scripted, 0, 40);
    scripted.clock.skip(600_000);
    broken(scripted, 640, 40);
    expect(toldOf(scripted)).toEqual(['probe-fault raised']);
  });
});
