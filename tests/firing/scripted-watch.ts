/** A watch over a link that the test speaks for, a clock that it moves by hand, and an archive in a folder of its own. */
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { AlertOutput, StandingOutput } from '../../collector/core/inputs.ts';
import { type Firing, newFiringOnDisk, pickUpFiring } from '../../collector/firing/begin.ts';
import { startWatch, type Watch } from '../../collector/firing/watch.ts';
import type { LinkHandlers } from '../../collector/links/link.ts';
import { formatBoardLine, type Hello } from '../../protocol/board-lines.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { type HandClock, handClock } from '../links/hand-clock.ts';
import { readCsv } from '../support/archive-file.ts';
import { tempFolder } from '../support/collector.ts';

/** 2031-03-08T05:00:00Z */
export const START = Date.UTC(2031, 2, 8, 5);

export const SHED: Hello = {
  board: 'shed-1',
  boot: '000000AA',
  periodMs: 1000,
  keeps: 0,
  probes: [{ name: 'low', couple: 'K', form: { kind: 'deg' } }],
};

export interface ScriptedWatch {
  watch: Watch;
  /** The only link, or the first; all of them. */
  link: LinkHandlers;
  links: LinkHandlers[];
  clock: HandClock;
  firing: Firing;
  /** Lines that were sent to the board, and what was said to whoever started the collector. */
  sent: string[];
  said: string[];
  /** What the ways were told of alerts. */
  told: (AlertOutput | StandingOutput)[];
  /** Links that were to be opened again. */
  reopened: string[];
  /** The system's clock, which goes on with the other and may be set. */
  wall: { offMs: number };
  hello(hello?: Hello): void;
  /** One reading a second from where the clock stands, `count` of them. */
  readings(count: number): void;
  /** The board takes a reading that never arrives. */
  skipReading(): void;
  press(pressSeq: number, button: number): void;
  /** The rows of log.csv by now. */
  logRows(): Promise<Record<string, string>[]>;
}

/**
 * A firing that has just begun, its plan logged, its link open; or the one in the folder `begun`, gone on with `after`
 * milliseconds after its start. All is closed and removed when the test ends.
 */
export async function scriptedWatch(
  names: readonly string[] = [''],
  begun?: string,
  after = 60_000,
): Promise<ScriptedWatch> {
  const data = tempFolder();
  const clock = handClock(begun === undefined ? START : START + after);
  const said: string[] = [];
  const sent: string[] = [];
  const told: ScriptedWatch['told'] = [];
  const reopened: string[] = [];
  const wall = { offMs: 0 };
  const say = (text: string) => said.push(text);
  const plan = { ...defaultPlan(), name: 'scripted' };
  const settings = { clock, dataFolder: data.path, plan, source: 'board' as const, run: 'test', say };
  const all = { ...settings, onTrouble: () => undefined };
  const firing = begun === undefined ? await newFiringOnDisk(all) : await pickUpFiring(all, begun);
  const links: LinkHandlers[] = [];
  const watch = startWatch(
    {
      ...settings,
      ...firing,
      ways: { alert: (output) => told.push(output), reading: () => undefined },
      wallNow: () => clock.now() + wall.offMs,
      links: names.map((name) => ({
        name,
        open: (handlers) => {
          links.push(handlers);
          return {
            name: 'scripted',
            send: (line) => sent.push(name === '' ? line : `${name} ${line}`),
            reopen: () => reopened.push(name),
            close: async () => undefined,
          };
        },
      })),
    },
    firing.beginning,
  );
  onTestFinished(async () => {
    await watch.close();
    data.remove();
  });
  const [link] = links;
  if (!link) throw new Error('the link was not opened');
  if (begun === undefined) watch.log({ ...plan, log: 'plan' }, 'test');
  for (const each of links) each.standing('open', 'open');
  let seq = 0;
  return {
    watch,
    link,
    links,
    reopened,
    wall,
    clock,
    firing,
    sent,
    said,
    told,
    hello: (hello = SHED) => link.line(clock.now(), formatBoardLine({ kind: 'hello', hello })),
    readings: (count) => {
      for (let i = 0; i < count; i += 1) {
        clock.advance(1000);
        const values = [20 + seq / 100];
        const line = { kind: 'reading', seq, uptimeMs: seq * 1000, coldJunctionC: 20, values } as const;
        link.line(clock.now(), formatBoardLine(line));
        seq += 1;
      }
    },
    skipReading: () => {
      clock.advance(1000);
      seq += 1;
    },
    press: (pressSeq, button) =>
      link.line(
        clock.now(),
        formatBoardLine({ kind: 'button', seq: pressSeq, uptimeMs: seq * 1000, button }),
      ),
    logRows: async () => {
      await firing.archive.flush();
      return readCsv(join(firing.archive.folder, 'log.csv'));
    },
  };
}
