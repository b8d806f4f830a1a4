/** The check before lighting over a real port: a fit board, and boards with one thing amiss each. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { systemClock } from '../../collector/clock.ts';
import { checkBoard } from '../../collector/commands/board.ts';
import type { Judgement } from '../../collector/core/board-check/judge.ts';
import { openSerialPort } from '../../collector/links/port.ts';
import { serialLink } from '../../collector/links/serial.ts';
import { type BoardFacts, boardFactsSchema } from '../../protocol/board-facts.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import type { RawValue } from '../../protocol/probes.ts';
import { runSpyhole, tempFolder } from '../support/collector.ts';
import { type FakeBoard, startFakeBoard } from '../support/fake-board.ts';
import { hasSocat, openPty, type Pty } from '../support/pty.ts';

/** The collector's clock runs so fast, and the board with it. */
const RATE = 5;
const PERIOD_MS = 200;

const HELLO: Hello = {
  board: 'shed-1',
  boot: '9F00C2A1',
  periodMs: PERIOD_MS,
  keeps: 50,
  probes: [
    { name: 'low', couple: 'K', form: { kind: 'deg' } },
    { name: 'high', couple: 'S', form: { kind: 'deg' } },
    { name: 'back', couple: 'K', form: { kind: 'deg' } },
  ],
};
const COLD: RawValue[][] = [
  [18, 18.5, 17.75],
  [18.25, 18.5, 18],
];

describe.skipIf(!hasSocat())('spyhole board over a pty (needs socat)', { timeout: 60_000 }, () => {
  let cable: Pty;
  let board: FakeBoard | null;
  let pacer: NodeJS.Timeout | undefined;

  beforeEach(async () => {
    cable = await openPty();
    board = null;
  });
  afterEach(async () => {
    clearInterval(pacer);
    await board?.close();
    await cable.close();
  });

  async function plugIn(part: Partial<Hello> = {}, readings: RawValue[][] = COLD, coldJunctionC = 20) {
    const made = await startFakeBoard({ cable, hello: { ...HELLO, ...part }, readings, coldJunctionC });
    board = made;
    pace(made, PERIOD_MS / RATE);
    return made;
  }

  /** Keeps to its period on the whole, however late the machine is with one of them. */
  function pace(made: FakeBoard, periodMs: number): void {
    const begun = performance.now() - made.nextSeq * periodMs;
    pacer = setInterval(() => {
      while (made.nextSeq * periodMs <= performance.now() - begun) made.read();
    }, periodMs / 4);
  }

  interface Checked extends Judgement {
    status: number;
    facts: BoardFacts;
    whats: string[];
  }

  async function check(how: { reopen?: boolean; pull?: boolean; onOpening?: (nth: number) => void } = {}) {
    const { reopen = false, pull = false, onOpening } = how;
    let printed = '';
    let openings = 0;
    const clock = systemClock(Date.UTC(2031, 2, 8), RATE);
    const openLink = serialLink({
      path: cable.collectorEnd,
      baudRate: 115_200,
      clock,
      openPort: async (options) => {
        const port = await openSerialPort(options);
        openings += 1;
        onOpening?.(openings);
        return port;
      },
    });
    const status = await checkBoard(openLink, {
      name: 'collector',
      seconds: 8,
      reopen,
      pull,
      json: true,
      plain: null,
      clock,
      print: (text) => {
        printed += text;
      },
    });
    const made = JSON.parse(printed) as Judgement & { facts: unknown };
    const whats = made.findings
      .filter(({ grade }) => grade === 'mend')
      .map(({ probe, what }) => (probe === null ? what : `${probe}:${what}`));
    const facts = boardFactsSchema.parse(made.facts);
    return { ...made, status, facts, whats } satisfies Checked;
  }

  it('calls a good board fit: hello, figures, and answers to both questions', async () => {
    await plugIn();
    const { status, sentence, facts, whats } = await check();
    expect(whats).toEqual([]);
    expect(sentence).toMatch(/^Fit for a firing/);
    expect(status).toBe(0);
    expect(facts.hello).toEqual({ board: 'shed-1', boot: '9F00C2A1', periodMs: PERIOD_MS, keeps: 50 });
    expect(facts.probes.map(({ name, couple, form }) => `${name} ${couple} ${form}`)).toEqual([
      'low K deg',
      'high S deg',
      'back K deg',
    ]);
    expect(facts.readings).toBeGreaterThanOrEqual(8);
    expect(facts.hellos.answered).toBeGreaterThan(0);
    expect(facts.gives.answered).toBeGreaterThan(0);
    expect(facts.gives.gone).toBe(0);
    expect(facts.cable).toBeNull();
  });

  it.each<[string, Partial<Hello>, RawValue[][], string]>([
    ['an open probe', {}, [['!open', 18.5, 18]], 'low:open'],
    [
      'a noisy probe',
      {},
      [
        [12, 18.5, 18],
        [24, 18.5, 18],
        [9, 18.5, 18],
        [27, 18.5, 18],
      ],
      'low:noisy',
    ],
    ['crossed wires', {}, [[38, 2, 2.5]], 'low:crossed'],
    ['a board that keeps nothing', { keeps: 0 }, COLD, 'keeps-none'],
  ])('says of %s what to mend', async (_what, part, readings, what) => {
    await plugIn(part, readings);
    const { status, sentence, whats } = await check();
    expect(whats).toEqual([what]);
    expect(sentence).toBe('Not fit yet:');
    expect(status).toBe(1);
  });

  it('counts broken lines', async () => {
    const there = await plugIn();
    const junk = setInterval(() => there.sendRaw('$R,5,5,20,18,18.5,18*0000\n'), 100);
    const { status, whats, facts } = await check().finally(() => clearInterval(junk));
    expect(whats).toEqual(['bad-lines']);
    expect(facts.lines.bad['bad-crc']).toBeGreaterThanOrEqual(3);
    expect(status).toBe(1);
  });

  it('finds that a board remembers when its port is opened again', async () => {
    await plugIn();
    const { status, facts, findings } = await check({ reopen: true });
    expect(facts.cable).toEqual({ how: 'reopened', remembers: true });
    expect(findings.map(({ what }) => what)).toContain('remembers');
    expect(status).toBe(0);
  });

  it('finds that a board forgets which restarts when its port is opened', async () => {
    const there = await plugIn();
    const { status, facts, findings } = await check({
      reopen: true,
      onOpening: (nth) => {
        if (nth === 2) there.restart('00000001');
      },
    });
    expect(facts.cable).toEqual({ how: 'reopened', remembers: false });
    expect(findings[0]?.text).toMatch(/^This board forgets when the cable is pulled:/);
    expect(status).toBe(1);
  });

  it.each([
    ['remembers', null, 0],
    ['forgets', '00000002', 1],
  ])('waits for a cable that is pulled by hand: %s', async (what, boot, status) => {
    const there = await plugIn();
    const checking = check({ pull: true });
    // Pulled once it has answered: whatever the machine's load, the boot is known by then.
    await expect
      .poll(() => there.heard.filter((text) => text.startsWith('$G')).length, { timeout: 30_000 })
      .toBeGreaterThan(2);
    await there.pullCable();
    if (boot !== null) there.restart(boot);
    await there.plugCable();
    const checked = await checking;
    expect(checked.facts.cable).toEqual({ how: 'pulled', remembers: boot === null });
    expect(checked.findings.map((finding) => finding.what)).toContain(what);
    expect(checked.status).toBe(status);
  });

  it('prints a report that a person can read, with the status of the verdict', async () => {
    const home = tempFolder();
    try {
      board = await startFakeBoard({ cable, hello: { ...HELLO, periodMs: 100 }, readings: COLD });
      pace(board, 100);
      const args = ['board', '--port', cable.collectorEnd, '--seconds', '4'];
      const { status, stdout } = await runSpyhole(args, home.path);
      expect(stdout).toMatch(
        /^Board shed-1 on collector, boot 9F00C2A1: reads every 100 ms, keeps 50 readings\.$/m,
      );
      expect(stdout).toMatch(
        /^ {2}low +type K, degrees, reckoned by the board +64\.[0-9] °F \(18\.[0-9] °C\) +noise/m,
      );
      expect(stdout).toMatch(/^ {2}cold junction +68\.0 °F \(20\.0 °C\)/m);
      expect(stdout).toMatch(/^ {2}line +\d+ lines, 0 broken \(0 %\)/m);
      expect(stdout).toMatch(
        /^ {2}round trip +hello: \d+ of \d+ answered, in \d+ ms; a reading asked for again: \d/m,
      );
      expect(stdout).toMatch(/^Fit for a firing/m);
      expect(stdout).toMatch(/Warm the tip of low, high, back in your hand/);
      expect(status).toBe(0);
    } finally {
      home.remove();
    }
  });

  it('checks a board that just prints numbers, by what its numbers are', async () => {
    const home = tempFolder();
    const there = await startFakeBoard({ cable, hello: HELLO, readings: COLD });
    board = there;
    const talk = setInterval(() => there.sendRaw('low 64.4 high 65.3\n'), 100);
    try {
      const plain = ['--plain', 'low:K,high:S', '--unit', 'F', '--json'];
      const args = ['board', '--port', cable.collectorEnd, '--seconds', '3', ...plain];
      const { status, stdout } = await runSpyhole(args, home.path);
      const made = JSON.parse(stdout) as Judgement & { facts: BoardFacts };
      expect(made.facts.probes[0]?.lastC).toBeCloseTo(18, 6);
      expect(status).toBe(0);
    } finally {
      clearInterval(talk);
      home.remove();
    }
  });

  it('says in one sentence that there is no such port', async () => {
    const home = tempFolder();
    const { status, stdout, stderr } = await runSpyhole(
      ['board', '--port', 'COM99', '--seconds', '1'],
      home.path,
    );
    home.remove();
    expect(status).toBe(2);
    expect(stdout).toBe('');
    expect(stderr).toMatch(/COM99/);
  });
});
