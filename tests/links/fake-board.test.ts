/** The board that other tests speak with, over the real link: hello, readings, what was missed, buttons, a restart. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { systemClock } from '../../collector/clock.ts';
import type { Link } from '../../collector/links/link.ts';
import { serialLink } from '../../collector/links/serial.ts';
import {
  type BoardLine,
  formatCollectorLine,
  type Hello,
  parseBoardLine,
} from '../../protocol/board-lines.ts';
import { type FakeBoard, startFakeBoard } from '../support/fake-board.ts';
import { hasSocat, openPty, type Pty } from '../support/pty.ts';
import { type Recorder, recorder } from './recorder.ts';

const hello: Hello = {
  board: 'shed-1',
  boot: '9F00C2A1',
  periodMs: 1_000,
  keeps: 4,
  probes: [
    { name: 'low', couple: 'K', form: { kind: 'uv' } },
    { name: 'high', couple: 'S', form: { kind: 'uv' } },
  ],
};

describe.skipIf(!hasSocat())('a board over a pty (needs socat)', { timeout: 30_000 }, () => {
  let cable: Pty;
  let board: FakeBoard;
  let link: Link;
  let told: Recorder;

  const soon = (check: () => void) => vi.waitFor(check, { timeout: 15_000, interval: 10 });
  const standing = (state: string) => soon(() => expect(told.states().at(-1)).toBe(state));
  const heard = (): BoardLine[] =>
    told.texts().map((text) => {
      const parsed = parseBoardLine(text);
      if (!parsed.ok) throw new Error(`${parsed.why}: ${text}`);
      return parsed.line;
    });
  const seqs = () => heard().flatMap((line) => (line.kind === 'reading' ? [line.seq] : []));

  beforeEach(async () => {
    cable = await openPty();
    board = await startFakeBoard({
      cable,
      hello,
      readings: [
        [12, 3],
        [13, null],
        ['!open', 4],
      ],
    });
    told = recorder();
    const clock = systemClock(Date.UTC(2031, 2, 8), 10);
    link = serialLink({ path: cable.collectorEnd, baudRate: 115_200, clock })(told);
    await standing('open');
  });
  afterEach(async () => {
    await link.close();
    await board.close();
    await cable.close();
  });

  it('says hello when asked, and sends the readings of its list', async () => {
    link.send(formatCollectorLine({ kind: 'hello?' }));
    await soon(() => expect(heard()).toContainEqual({ kind: 'hello', hello }));
    for (let times = 0; times < 4; times += 1) board.read();
    await soon(() =>
      expect(heard().filter(({ kind }) => kind === 'reading')).toEqual([
        { kind: 'reading', seq: 0, uptimeMs: 0, coldJunctionC: 20, values: [12, 3] },
        { kind: 'reading', seq: 1, uptimeMs: 1_000, coldJunctionC: 20, values: [13, null] },
        { kind: 'reading', seq: 2, uptimeMs: 2_000, coldJunctionC: 20, values: ['!open', 4] },
        { kind: 'reading', seq: 3, uptimeMs: 3_000, coldJunctionC: 20, values: [12, 3] },
      ]),
    );
  });

  it('counts on while its cable is out, and gives what it still keeps of what was missed', async () => {
    board.read();
    await soon(() => expect(seqs()).toEqual([0]));
    await board.pullCable();
    for (let times = 1; times <= 6; times += 1) board.read();
    expect(board.nextSeq).toBe(7);
    await standing('unplugged');
    await board.plugCable();
    await standing('open');
    link.send(formatCollectorLine({ kind: 'give', from: 1, to: 6 }));
    await soon(() => expect(heard().at(-1)).toEqual({ kind: 'missing', from: 1, to: 2 }));
    expect(seqs()).toEqual([0, 3, 4, 5, 6]);
    link.send(formatCollectorLine({ kind: 'give', from: 1, to: 2 }));
    await soon(() => expect(heard().filter(({ kind }) => kind === 'missing').length).toBe(2));
  });

  it('reads at a pace, is pressed, restarts, and talks junk', async () => {
    const stop = board.run(5);
    await soon(() => expect(seqs().length).toBeGreaterThan(3));
    stop();
    board.press(3);
    board.restart('00000002');
    board.read();
    await soon(() =>
      expect(heard().slice(-3)).toMatchObject([
        { kind: 'button', seq: 0, button: 3 },
        { kind: 'hello', hello: { boot: '00000002' } },
        { kind: 'reading', seq: 0, uptimeMs: 0 },
      ]),
    );
    board.sendRaw('boot: rst 0x1\r\n');
    await soon(() => expect(told.texts().at(-1)).toBe('boot: rst 0x1'));
    link.send(formatCollectorLine({ kind: 'lamp', level: 2 }));
    await soon(() => expect(board.heard).toContain('$L,2*F1CA'));
  });
});
