/** The hands of every link that is held on to (`held.ts`): its timer, what it tells, and its end. */
import type { Clock } from '../clock.ts';
import type { HeldEffect, HeldEvent } from './held.ts';
import type { Link, LinkHandlers } from './link.ts';

/** Beyond this what is sent is dropped, for it does not drain. At 9600 baud one second's worth. */
export const MAX_UNSENT_BYTES = 1_024;

export interface Hands<Event> {
  take(event: Event | HeldEvent): void;
  /** What others may do with the link, but for sending. */
  own: Pick<Link, 'reopen' | 'close'>;
}

interface HandsOptions<Event, Deed> {
  clock: Clock;
  handlers: LinkHandlers;
  step: (event: Event | HeldEvent, at: number) => (Deed | HeldEffect)[];
  /** Does what no other link does. */
  carryOut: (deed: Deed) => void;
  /** The link has come to its end. */
  atEnd?: () => void;
}

/** Takes events to `step`, and does what comes of them, in order. */
export function handsOf<Event, Deed extends { kind: string }>(
  options: HandsOptions<Event, Deed>,
): Hands<Event> {
  const { clock, handlers, step, carryOut, atEnd } = options;
  let cancelTimer: () => void = () => undefined;
  let ended: () => void = () => undefined;
  let closing: Promise<void> | null = null;

  const take = (event: Event | HeldEvent): void => {
    for (const effect of step(event, clock.now())) {
      if (isOfAll(effect)) see(effect);
      else carryOut(effect);
    }
  };
  function see(effect: HeldEffect): void {
    switch (effect.kind) {
      case 'timer':
        cancelTimer();
        if (effect.ms !== null) cancelTimer = clock.after(effect.ms, () => take({ kind: 'timer' }));
        break;
      case 'tell':
        handlers.standing(effect.state, effect.text);
        break;
      case 'done':
        atEnd?.();
        ended();
        break;
    }
  }
  return {
    take,
    own: {
      reopen: () => take({ kind: 'reopen' }),
      close: () => {
        closing ??= new Promise<void>((resolve) => {
          ended = resolve;
        });
        take({ kind: 'close' });
        return closing;
      },
    },
  };
}

function isOfAll<Deed extends { kind: string }>(effect: Deed | HeldEffect): effect is HeldEffect {
  return effect.kind === 'timer' || effect.kind === 'tell' || effect.kind === 'done';
}
