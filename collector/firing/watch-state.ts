/** What can happen to a firing that is watched, what is to be done about it, and what the reducer knows. See watching.ts. */
import type { LoggedEntry } from '../../protocol/firing-record.ts';
import type { LinkStanding } from '../../protocol/live-messages.ts';
import type { LogRow, PlanFile } from '../archive/rows.ts';
import type { CoreOutput, ReadingOutput, TroubleWith } from '../core/inputs.ts';
import type { Beginning } from './beginning.ts';
import { type GatheredNotes, newGatheredNotes } from './gathered-notes.ts';
import { type Guard, newGuard } from './guard.ts';
import type { PipelineInput } from './pipeline.ts';
import { newWallWatch, type WallWatch } from './wall-clock.ts';
import { type WatchedLink, watchedLink } from './watched-link.ts';

/** `at`: firing time, epoch ms. `heardTo`: up to when all that came over the links has been looked at; see pipeline.ts. */
export type WatchEvent = { at: number; heardTo: number } & (
  | { kind: 'line'; link: string; of: string; text: string }
  | { kind: 'logged'; link: string; entry: unknown }
  | { kind: 'standing'; link: string; state: LinkStanding['state']; text: string }
  | { kind: 'dropped'; link: string }
  | { kind: 'entry'; value: unknown; where: string }
  | { kind: 'trouble'; what: TroubleWith; text: string | null }
  /** A port that was to be opened again has been given time to hand over what it held. */
  | { kind: 'still-silent'; link: string; heardBefore: number }
  /** Somebody tries whether the lamps and buzzers of the boards are heard, for so long. */
  | { kind: 'try-lamp'; forMs: number }
  /** Several times a second. `wallAt`: what the system's clock says, where that is of interest. */
  | { kind: 'look'; wallAt: number | null }
  | { kind: 'closing' }
);

/** What the hands do, in this order. */
export type WatchEffect =
  | { kind: 'send'; link: string; line: string }
  | { kind: 'capture'; line: string }
  | { kind: 'reading'; output: ReadingOutput }
  | { kind: 'publish'; output: CoreOutput }
  | { kind: 'row'; row: Omit<LogRow, 'entry'> }
  | { kind: 'entry'; row: Omit<LogRow, 'entry'>; logged: LoggedEntry }
  | { kind: 'hello'; at: number; hello: PlanFile['boards'][number] }
  | { kind: 'plan'; file: PlanFile }
  | { kind: 'standings'; links: LinkStanding[] }
  | { kind: 'say'; text: string }
  | { kind: 'ask-later'; link: string; heardBefore: number }
  | { kind: 'reopen'; link: string }
  | { kind: 'skip'; ms: number };

export interface WatchingSettings {
  startedAt: number;
  source: PlanFile['source'];
  /** As the desks know them: '' for the only one. `shown`: what the page calls it. */
  links: readonly { name: string; shown: string }[];
  /** Number of the next row of log.csv. */
  nextEntry: number;
}

export interface Watching extends Beginning {
  settings: WatchingSettings;
  links: Map<string, WatchedLink>;
  nextEntry: number;
  madeIds: number;
  pressedAt: Map<string, number>;
  notes: GatheredNotes;
  /** Notes of the collector's own that are still to be logged. */
  toNote: { at: number; text: string }[];
  guard: Guard;
  wall: WallWatch;
  /** All links have come to their end: the firing's time stands still. */
  endedAt: number | null;
}

export function newWatching(settings: WatchingSettings, beginning: Beginning): Watching {
  const toNote: Watching['toNote'] = [];
  const state: Watching = {
    ...beginning,
    settings,
    links: new Map(settings.links.map(({ name, shown }) => [name, watchedLink(name, shown)])),
    nextEntry: settings.nextEntry,
    madeIds: 0,
    pressedAt: new Map(),
    notes: newGatheredNotes((at, text) => toNote.push({ at, text })),
    toNote,
    guard: newGuard((text) => toNote.push({ at: state.pipeline.core.now ?? settings.startedAt, text })),
    wall: newWallWatch(),
    endedAt: null,
  };
  return state;
}

/** One event's work: what comes of it, and what of it was refused. */
export interface Work {
  state: Watching;
  at: number;
  heardTo: number;
  waiting: PipelineInput[];
  effects: WatchEffect[];
  refused: string | null;
}

export function run(work: Work, input: PipelineInput): void {
  work.waiting.push({ heardTo: work.heardTo, ...input });
}

export function say(work: Work, text: string): void {
  work.effects.push({ kind: 'say', text });
}
