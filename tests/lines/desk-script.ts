/** A desk's scenarios as tables: at which second what happens, and what comes of it, both in few words. */
import { expect } from 'vitest';
import { type Desk, type DeskOutput, deskStep, openDesk } from '../../collector/lines/desk.ts';
import type { DeskInput } from '../../collector/lines/desk-types.ts';
import type { Range } from '../../collector/lines/ranges.ts';
import {
  type BoardLine,
  formatBoardLine,
  type Hello,
  parseCollectorLine,
} from '../../protocol/board-lines.ts';
import type { Plan } from '../../protocol/plan.ts';

/** Second 0 of every scenario. */
export const START = Date.UTC(2031, 2, 8, 5);

export const SHED: Hello = {
  board: 'shed-1',
  boot: '000000AA',
  periodMs: 1000,
  keeps: 3600,
  probes: [{ name: 'low', couple: 'K', form: { kind: 'uv' } }],
};

/** How many numbers the ranges hold. */
export const countOf = (ranges: readonly Range[]): number =>
  ranges.reduce((sum, { from, to }) => sum + to - from + 1, 0);

/**
 * `[second, what happens, ...what comes of it]`. What happens: `open`, `close`, `tick`, `ticks N` (one each second from
 * there, N of them), `B boot`, `R seq uptimeMs`, `P seq uptimeMs button`, `M from to`, or a line as it is.
 */
export type Step = [second: number, happens: string, ...comes: string[]];

export function lineOf(happens: string, hello: Hello = SHED): string | null {
  const [word, ...rest] = happens.split(' ');
  const [a = 0, b = 0, c = 0] = rest.map(Number);
  const lines: Record<string, () => BoardLine> = {
    B: () => ({ kind: 'hello', hello: { ...hello, boot: rest[0] ?? '' } }),
    R: () => ({
      kind: 'reading',
      seq: a,
      uptimeMs: b,
      coldJunctionC: 20,
      values: hello.probes.map(() => a % 1000),
    }),
    P: () => ({ kind: 'button', seq: a, uptimeMs: b, button: c }),
    M: () => ({ kind: 'missing', from: a, to: b }),
  };
  const line = lines[word ?? ''];
  return line === undefined ? null : formatBoardLine(line());
}

/** The inputs that a step's words stand for. */
function inputsOf(second: number, happens: string, hello: Hello): DeskInput[] {
  const at = START + second * 1000;
  const [word, count = '1'] = happens.split(' ');
  if (word === 'open') return [{ kind: 'opened', at }];
  if (word === 'close') return [{ kind: 'closed', at }];
  if (word === 'tick') return [{ kind: 'tick', at }];
  if (word === 'ticks')
    return Array.from({ length: Number(count) }, (_, i) => ({ kind: 'tick', at: at + i * 1000 }));
  return [{ kind: 'line', at, text: lineOf(happens, hello) ?? happens }];
}

/** An output in few words; times as seconds from the start, to the millisecond. */
export function inWords(output: DeskOutput): string {
  const second = (at: number) => `@${Number(((at - START) / 1000).toFixed(3))}`;
  switch (output.kind) {
    case 'send': {
      const parsed = parseCollectorLine(output.line);
      if (!parsed.ok) return `not a line: ${output.line}`;
      const { line } = parsed;
      if (line.kind === 'give') return `ask ${line.from}-${line.to}`;
      return line.kind === 'hello?' ? '?' : `lamp ${line.level}`;
    }
    case 'hello':
      return `hello ${output.hello.board} ${output.hello.boot}`;
    case 'reading': {
      const { seq, at, late, boot } = output.reading;
      return `${late ? 'late' : 'live'} ${boot} ${seq} ${second(at)}`;
    }
    case 'button':
      return `press ${output.seq} ${output.button} ${second(output.at)}`;
    case 'missing':
      return `missing ${output.boot} ${output.from}-${output.to}`;
    case 'restarted':
      return `restarted ${output.boot}`;
    case 'bad':
      return `bad ${output.why}`;
    default:
      return output.kind;
  }
}

/** Plays a scenario and checks each step's outputs. */
export function play(
  steps: readonly Step[],
  { desk = openDesk({ link: '', plain: null }), hello = SHED }: { desk?: Desk; hello?: Hello } = {},
): Desk {
  for (const [second, happens, ...comes] of steps) {
    const came = inputsOf(second, happens, hello).flatMap((input) => deskStep(desk, input).map(inWords));
    expect(came, `at second ${second}, ${happens}`).toEqual(comes);
  }
  return desk;
}

export function plainDesk(plain: NonNullable<Plan['plainBoard']>): Desk {
  return openDesk({ link: '', plain });
}

/** Opened, greeted, and the readings 0 to `last`, a second each; reading n has uptime n s + 1 s and comes at n s + 1 s. */
export function up(last: number): Step[] {
  const steps: Step[] = [
    [0, 'open', '?'],
    [0.1, `B ${SHED.boot}`, `hello shed-1 ${SHED.boot}`],
  ];
  for (let n = 0; n <= last; n += 1)
    steps.push([n + 1, `R ${n} ${(n + 1) * 1000}`, `live ${SHED.boot} ${n} @${n + 1}`]);
  return steps;
}
