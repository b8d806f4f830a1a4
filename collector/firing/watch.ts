/**
 * Live watching: the hands of `watching.ts`. It hands in what comes over the links and from the pages with its time, and
 * carries out what the reducer says, each thing guarded for itself.
 */
import type { Archive } from '../archive/archive.ts';
import type { PlanFile } from '../archive/rows.ts';
import type { Clock } from '../clock.ts';
import type { TroubleWith } from '../core/inputs.ts';
import type { Link, OpenLink } from '../links/link.ts';
import type { Feed } from '../server/feed.ts';
import type { KilnWays } from '../ways/desk.ts';
import type { Beginning } from './beginning.ts';
import { newCalls } from './calls.ts';
import { heardToAt, lookedAgain, newLateLoop } from './late-loop.ts';
import { newWatching, type WatchEffect, type WatchEvent } from './watch-state.ts';
import { watchStep } from './watching.ts';
import { newWorkQueue } from './work-queue.ts';

/** How often the shell looks at its clock, in real time; each whole second of firing time is ticked all the same. */
const LOOK_EVERY_REAL_MS = 250;
/** A port that is to be opened again is given so long, in real time, to hand over what it still holds. */
const REOPEN_GRACE_REAL_MS = 500;
const LAMP_TRIED_REAL_MS = 3000;
const STOPPING = 'The collector is being stopped: log this again once it is back.';

export interface WatchSettings {
  clock: Clock;
  archive: Archive;
  feed: Feed;
  /** At least one. Names are those of the capture: '' for the only link. */
  links: readonly { name: string; open: OpenLink }[];
  startedAt: number;
  source: PlanFile['source'];
  /** Told of every alert and reading, for the ways that reach a person. */
  ways?: Pick<KilnWays, 'alert' | 'reading'>;
  /** The system's clock, epoch ms, where a step of it is to be noted. */
  wallNow?: () => number;
  /** Told to whoever started the collector, a line each. */
  say: (text: string) => void;
}

export interface Watch {
  /** Takes an entry as a page or the board's button gives it; the answer is null, or why not in a sentence. */
  log(value: unknown, where: string): string | null;
  /** Something is in trouble, or not any more. */
  trouble(text: string | null, what?: TroubleWith): void;
  /** Lamps and buzzers of the boards call for three real seconds; the answer is null, or why not in a sentence. */
  tryLamp(): string | null;
  /** Stops. False: not all that was handed in is on the disk yet; called again it is tried again. */
  close(): Promise<boolean>;
}

type Told = WatchEvent extends infer Each ? (Each extends WatchEvent ? Omit<Each, 'heardTo'> : never) : never;

/** Opens the links and goes on until `close()`. */
export function startWatch(settings: WatchSettings, beginning: Beginning): Watch {
  const { clock, archive, feed, say, wallNow } = settings;
  const open = new Map<string, Link>();
  const loop = newLateLoop(clock.now(), clock.rate);
  const calls = newCalls({
    rate: clock.rate,
    at: clock.now(),
    goesOn: beginning.pipeline.core.now !== null,
    standings: () => state.pipeline.core.standings,
    alert: (output) => settings.ways?.alert(output),
  });
  let closed = false;
  let cancelLook: () => void = () => undefined;

  const state = newWatching(
    {
      startedAt: settings.startedAt,
      source: settings.source,
      links: settings.links.map(({ name }) => ({ name, shown: name })),
      nextEntry: archive.nextEntry(),
    },
    beginning,
  );

  const work = newWorkQueue((event: WatchEvent) => {
    const watched = watchStep(state, event);
    let wrong = watched.refused;
    for (const effect of watched.effects) wrong = state.guard(() => carryOut(effect)) ?? wrong;
    return wrong;
  });
  /** `heardTo` is told where a link keeps its own time. */
  const tell = (event: Told, heardTo = heardToAt(loop, event.at)): string | null => {
    if (closed) return STOPPING;
    calls.begin(event.at);
    return work({ ...event, heardTo } as WatchEvent);
  };

  function carryOut(effect: WatchEffect): void {
    switch (effect.kind) {
      case 'send':
        open.get(effect.link)?.send(effect.line);
        break;
      case 'capture':
        archive.capture(effect.line);
        break;
      case 'reading':
        archive.readings(effect.output);
        feed.publish(effect.output);
        if (!effect.output.input.late) settings.ways?.reading(effect.output);
        break;
      case 'publish':
        feed.publish(effect.output);
        if (effect.output.kind === 'alert' || effect.output.kind === 'standing') calls.tell(effect.output);
        break;
      case 'row':
        archive.log(effect.row);
        break;
      case 'entry':
        archive.log(effect.row);
        feed.publishLog(effect.logged);
        break;
      case 'hello':
        feed.noteHello(effect.at, effect.hello);
        break;
      case 'plan':
        archive.plan(effect.file);
        break;
      case 'standings':
        feed.setStanding(effect.links);
        break;
      case 'say':
        say(effect.text);
        break;
      case 'ask-later':
        clock.after(REOPEN_GRACE_REAL_MS * clock.rate, () =>
          tell({ kind: 'still-silent', at: clock.now(), link: effect.link, heardBefore: effect.heardBefore }),
        );
        break;
      case 'reopen':
        open.get(effect.link)?.reopen();
        break;
      case 'skip':
        clock.skip(effect.ms);
        break;
    }
  }

  /** What a link that keeps its own time still has comes first, and says how far that is. */
  function caughtUp(at: number): number {
    let heardTo = heardToAt(loop, at);
    for (const link of open.values()) if (link.catchUp) heardTo = Math.min(heardTo, link.catchUp());
    return heardTo;
  }

  function look(): void {
    const at = clock.now();
    lookedAgain(loop, at);
    tell({ kind: 'look', at, wallAt: wallNow?.() ?? null }, caughtUp(at));
    calls.done(at);
    if (!closed) cancelLook = clock.after(LOOK_EVERY_REAL_MS * clock.rate, look);
  }

  for (const { name, open: openLink } of settings.links) {
    const link = openLink({
      line: (at, text, of = '') =>
        tell({ kind: 'line', at, link: name, of, text }, open.get(name)?.catchUp ? at : undefined),
      logged: (at, entry) => tell({ kind: 'logged', at, link: name, entry }, at),
      standing: (standing, text) =>
        tell({ kind: 'standing', at: clock.now(), link: name, state: standing, text }),
      dropped: () => tell({ kind: 'dropped', at: clock.now(), link: name }),
    });
    open.set(name, link);
    const watched = state.links.get(name);
    if (watched && name === '') watched.shown = link.name;
  }
  look();

  return {
    log: (value, where) => {
      const at = clock.now();
      return closed ? STOPPING : tell({ kind: 'entry', at, value, where }, caughtUp(at));
    },
    trouble: (text, what = 'archive') => {
      const at = clock.now();
      void tell({ kind: 'trouble', at, what, text }, caughtUp(at));
    },
    tryLamp: () => tell({ kind: 'try-lamp', at: clock.now(), forMs: LAMP_TRIED_REAL_MS * clock.rate }),
    close: async () => {
      if (!closed) {
        tell({ kind: 'closing', at: clock.now() });
        closed = true;
        cancelLook();
        await Promise.all([...open.values()].map((link) => link.close()));
      }
      return archive.close();
    },
  };
}
