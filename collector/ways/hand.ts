/** What a hand is: the part of a way that reaches out of the program. What to send and when is decided in alerts/ways/. */
import type { Call } from '../../alerts/ways/plan-of-ways.ts';
import type { CallStep } from '../../protocol/alert-calls.ts';
import type { AlertPriority } from '../../protocol/alert-names.ts';
import type { TOLD_EVENTS, Way } from '../../protocol/ways.ts';

export type ToldEvent = (typeof TOLD_EVENTS)[number];

export interface Message {
  event: ToldEvent | 'said';
  kiln: string;
  step: CallStep;
  /** Null in a test. */
  call: Call | null;
}

/** How it went, in a sentence that a person can act on and that holds no secret. */
export interface Sent {
  reached: boolean;
  text: string;
}

export interface Hand {
  readonly way: Way;
  /** Whether it would reach anybody, and in a sentence what it does or why it does nothing. */
  standing(): { armed: boolean; why: string };
  /** Never rejects. `retrying` is told, in a sentence, when it did not work at first and is tried again. */
  send(message: Message, retrying: (text: string) => void): Promise<Sent>;
  close(): Promise<void>;
}

export const PRIORITY_IN_WORDS: Record<AlertPriority, string> = {
  'come-now': 'Come now',
  'look-soon': 'Look soon',
  note: 'Note',
};

/** `Come now: spring kiln` and the alert's own words; what a test says. */
export function inWords({ event, kiln, call }: Message): { title: string; body: string } {
  if (call === null)
    return {
      title: `A test of ${kiln}`,
      body: 'If you read this, this way reaches you. Nothing is wrong at the kiln.',
    };
  const who = call.acknowledged?.who ?? 'Somebody';
  switch (event) {
    case 'acknowledged':
      return { title: `${kiln}: answered`, body: `${who} has heard: ${call.text}` };
    case 'cleared':
      return { title: `${kiln}: over`, body: call.text };
    case 'quiet':
      return { title: `${kiln}: put aside`, body: call.text };
    default:
      return { title: `${PRIORITY_IN_WORDS[call.priority]}: ${kiln}`, body: call.text };
  }
}

/** An error in few words, without what a library may have put of addresses and keys into it. */
export function whyOf(cause: unknown): string {
  if (!(cause instanceof Error)) return 'an unknown trouble';
  const code = 'code' in cause && typeof cause.code === 'string' ? cause.code : null;
  if (cause.name === 'TimeoutError' || code === 'ETIMEDOUT') return 'no answer in time';
  if (cause.cause instanceof Error) return whyOf(cause.cause);
  return code ?? cause.message.split('\n')[0]?.slice(0, 200) ?? cause.name;
}
