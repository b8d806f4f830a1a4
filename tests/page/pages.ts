/** Short ways to a page's state for its tests. */

import { newPage, type PageEvent, type PageState, reduce } from '../../dashboard/state.ts';
import type { CollectorMessage, NumberedMessage, WelcomeMessage } from '../../protocol/live-messages.ts';
import { LIVE_VERSION } from '../../protocol/live-messages.ts';
import { LIT_AT, recordAt } from './story.ts';

export const HOUR = 3_600_000;
export const MINUTE = 60_000;

export function welcomeAt(hoursIn: number, part: Partial<WelcomeMessage> = {}): WelcomeMessage {
  return {
    type: 'welcome',
    version: LIVE_VERSION,
    run: 'run-1',
    n: 10,
    now: LIT_AT + hoursIn * HOUR,
    clockRate: 1,
    source: 'board',
    ...recordAt(hoursIn, 10 * MINUTE),
    last: { reading: null, forecast: null },
    links: [{ link: 'kiln', state: 'open', text: '', badLines: 0 }],
    ...part,
  };
}

type Reading = Extract<NumberedMessage, { type: 'reading' }>;

export function readingAt(at: number, n: number, part: Partial<Reading> = {}): Reading {
  const figures = { smoothC: 1000, climbCPerH: 60, climbSdCPerH: 4, cone: '05.7', fault: null };
  return {
    type: 'reading',
    n,
    at,
    stage: 'climbing',
    late: false,
    probes: [
      { probe: 'front', tempC: 1010, ...figures },
      { probe: 'back', tempC: 990, ...figures },
      { probe: 'top', tempC: 1000, ...figures },
    ],
    kiln: { smoothC: 1000, climbCPerH: 60, climbSdCPerH: 4 },
    ...part,
  };
}

export function follow(state: PageState, ...events: PageEvent[]): PageState {
  return events.reduce(reduce, state);
}

export function heard(message: CollectorMessage, wallMs = 0): PageEvent {
  return { kind: 'message', message, wallMs };
}

/** A page that has just been welcomed to the invented evening. */
export function welcomed(hoursIn = 13, part: Partial<WelcomeMessage> = {}): PageState {
  return follow(newPage(0, []), heard(welcomeAt(hoursIn, part)), {
    kind: 'standing',
    standing: 'open',
    wallMs: 0,
  });
}
