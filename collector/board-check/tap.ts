/**
 * Listens in on a link for the check before lighting, and asks and reopens for it. The link goes on as if nobody did:
 * whoever uses it gets every line and every standing, and a board's answers to the check are known readings to it.
 */
import type { BoardFacts } from '../../protocol/board-facts.ts';
import { formatCollectorLine, parseCollectorLine } from '../../protocol/board-lines.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { Clock } from '../clock.ts';
import { factsOf } from '../core/board-check/facts.ts';
import { type Gathering, gather, newGathering, nextQuestion } from '../core/board-check/gather.ts';
import type { Link, OpenLink } from '../links/link.ts';

export interface TapSettings {
  /** What the board is called in the facts. */
  name: string;
  clock: Clock;
  /** What the numbers are of a board that just prints them. */
  plain: Plan['plainBoard'];
  /** Done before the link is shut for the check: what a pulled cable does and shutting alone would not. */
  beforeReopen?: () => Promise<void>;
}

export interface Tap {
  readonly name: string;
  /** To be used in place of the link's own. */
  openLink: OpenLink;
  /** What is known now, over the last `windowMs` (a minute, or more of a slow board). One for each board on the link. */
  facts(windowMs?: number): BoardFacts[];
  /** Puts the next question to the board, if it is time and the link is open. */
  ask(): void;
  /** Shuts the link and opens it again; `facts` then tell whether the board has kept its boot. */
  tryCable(): Promise<void>;
}

/** A clock that runs faster than this plays a board rather than watching one: what it is asked comes hours later. */
const FASTEST_ASKED = 20;

const TRYING = 'Trying the cable: the link is shut and opened again.';

/** Taps one link. */
export function tapLink(openLink: OpenLink, { name, clock, plain, beforeReopen }: TapSettings): Tap {
  const own = newGathering(name, plain);
  /** The boards of a capture, by the names that it gives its links. */
  const named = new Map<string, Gathering>();
  let link: Link | null = null;
  let open = false;
  let trying = false;

  const gatheringOf = (of: string | undefined): Gathering => {
    if (of === undefined) return own;
    const known = named.get(of) ?? newGathering(of, plain);
    named.set(of, known);
    return known;
  };

  return {
    name,
    openLink: (handlers) => {
      const opened = openLink({
        ...handlers,
        line: (at, text, ...of) => {
          gather(gatheringOf(of[0]), { kind: 'line', at, text });
          handlers.line(at, text, ...of);
        },
        standing: (state, text) => {
          open = state === 'open';
          gather(own, { kind: 'standing', at: clock.now(), gone: state === 'unplugged', text });
          handlers.standing(state, trying && state === 'connecting' ? TRYING : text);
          if (state !== 'connecting') trying = false;
        },
        dropped: () => {
          gather(own, { kind: 'torn', at: clock.now() });
          handlers.dropped();
        },
      });
      const { catchUp } = opened;
      link = {
        name: opened.name,
        ...(catchUp === undefined ? {} : { catchUp: () => catchUp.call(opened) }),
        reopen: () => opened.reopen(),
        close: () => opened.close(),
        send: (text) => {
          const parsed = parseCollectorLine(text);
          if (parsed.ok) gather(own, { kind: 'sent', at: clock.now(), line: parsed.line });
          opened.send(text);
        },
      };
      return link;
    },
    facts: (windowMs) =>
      [...(named.size === 0 ? [own] : named.values())].map((one) => factsOf(one, clock.now(), windowMs)),
    ask: () => {
      const question = open && clock.rate <= FASTEST_ASKED ? nextQuestion(own, clock.now()) : null;
      if (question !== null) link?.send(formatCollectorLine(question));
    },
    tryCable: async () => {
      await beforeReopen?.();
      gather(own, { kind: 'reopening', at: clock.now() });
      trying = true;
      link?.reopen();
    },
  };
}
