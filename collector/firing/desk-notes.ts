/** What a link's desk has to say, in the words in which it goes into the log book. */
import { rangeLength } from '../../protocol/board-lines.ts';
import type { DeskOutput } from '../lines/desk.ts';

/** `about` gathers notes of one kind, so that what comes again and again is counted and not repeated. */
export interface DeskNote {
  about: string;
  count: number;
  text: string;
  summary: (count: number) => string;
}

/** The note that an output makes; null for one that makes none. `link`: its name where there are several, else null. */
export function deskNote(output: DeskOutput, link: string | null): DeskNote | null {
  switch (output.kind) {
    case 'restarted':
      return {
        about: `restarts ${output.board}`,
        count: 1,
        text: `The board ${output.board} has started anew.`,
        summary: (count) =>
          `The board ${output.board} has started anew ${times(count)} more: look at its supply and its cable.`,
      };
    case 'missing':
      return {
        about: `gone ${output.board}`,
        count: rangeLength(output.from, output.to),
        text: gone(output),
        summary: (count) =>
          count === 1
            ? `Of board ${output.board} one more reading is gone: ${output.to}.`
            : `Of board ${output.board} ${count} more readings are gone, the last of them ${output.to}.`,
      };
    case 'odd-period':
      return {
        about: `period ${output.board}`,
        count: 1,
        text: `The board ${output.board} says that it reads every ${output.saidMs} ms, and reads every ${output.keptMs} ms: it is taken by what it does. Mend the period in its sketch.`,
        summary: (count) => `The board ${output.board} has changed its pace ${times(count)} more.`,
      };
    case 'behind':
      return {
        about: 'clock behind',
        count: 1,
        text: `By the board's own clock it is ${minutes(output.byMs)} later than this computer's clock says, which was set back while Spyhole was not running: the firing goes on by the board's.`,
        summary: (count) => `The computer's clock was behind the boards' ${times(count)} more.`,
      };
    case 'namesake':
      return {
        about: `namesake ${output.board}`,
        count: 1,
        text: `Two boards call themselves ${output.board}, at ${link ?? 'this port'} and ${output.other}: the one at ${link ?? 'this port'} is not listened to until it has a name of its own.`,
        summary: () =>
          `There are still two boards that call themselves ${output.board}: give one of them another name.`,
      };
    case 'mixed':
      return {
        about: `mixed ${output.boards.join(' ')}`,
        count: 1,
        text: `Several boards speak on ${wireOf(link)} (${output.boards.join(', ')}) and talk into one another: give each a port of its own.`,
        summary: () =>
          `The boards ${output.boards.join(', ')} still share one wire: give each a port of its own.`,
      };
    default:
      return null;
  }
}

function wireOf(link: string | null): string {
  return link === null ? 'one wire' : `the one wire at ${link}`;
}

function times(count: number): string {
  return count === 1 ? 'once' : `${count} times`;
}

function minutes(ms: number): string {
  const count = Math.round(ms / 60_000);
  if (count < 1) return `${Math.round(ms / 1000)} s`;
  return `${count} min`;
}

function gone({ board, from, to }: { board: string; from: number; to: number }): string {
  return from === to
    ? `Reading ${from} of board ${board} is gone: it keeps it no longer.`
    : `Readings ${from} to ${to} of board ${board} are gone: it keeps them no longer.`;
}
