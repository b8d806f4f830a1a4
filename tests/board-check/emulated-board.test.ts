/** The check before lighting of the reference board: its real firmware, emulated, over a pty. */
import { expect, it } from 'vitest';
import { systemClock } from '../../collector/clock.ts';
import { checkBoard } from '../../collector/commands/board.ts';
import type { Judgement } from '../../collector/core/board-check/judge.ts';
import { badLines } from '../../collector/core/board-check/judge-board.ts';
import { serialLink } from '../../collector/links/serial.ts';
import { boardFactsSchema } from '../../protocol/board-facts.ts';
import { benchBoard } from '../board-sketch/bench-board.ts';
import { startPtyBoard } from '../board-sketch/pty-board.ts';
import { hasAvrGcc } from '../board-sketch/toolchain.ts';
import { hasSocat, openPty } from '../support/pty.ts';

/** Both clocks run so fast. */
const RATE = 5;

it.skipIf(!hasAvrGcc() || !hasSocat())(
  'finds the reference board’s answers, memory and pace in order (needs avr-gcc and socat)',
  { timeout: 120_000 },
  async () => {
    const cable = await openPty();
    const board = await startPtyBoard(benchBoard(), cable, RATE);
    let printed = '';
    try {
      const clock = systemClock(Date.UTC(2031, 2, 8), RATE);
      await checkBoard(serialLink({ path: cable.collectorEnd, baudRate: 115_200, clock }), {
        name: 'bench',
        seconds: 30,
        reopen: true,
        pull: false,
        json: true,
        plain: null,
        clock,
        print: (text) => {
          printed += text;
        },
      });
    } finally {
      await board.close();
      await cable.close();
    }
    const made = JSON.parse(printed) as Judgement & { facts: unknown };
    const facts = boardFactsSchema.parse(made.facts);
    expect(facts.hello?.keeps).toBeGreaterThan(0);
    expect(facts.hellos.answered).toBeGreaterThan(0);
    expect(facts.gives).toMatchObject({ gone: 0 });
    expect(facts.gives.answered).toBeGreaterThan(0);
    expect(badLines(facts)).toBe(0);
    expect(made.findings.filter(({ grade }) => grade === 'mend')).toEqual([]);
    expect(facts.cable).toEqual({ how: 'reopened', remembers: true });
  },
);
