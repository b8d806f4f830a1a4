/**
 * A link carries the bytes of one board. Whatever it is (a serial port, the demo kiln, a capture that is played), the
 * rest of the collector sees only this: lines in, text out, and how it stands.
 */
import type { LinkStanding } from '../../protocol/live-messages.ts';

export interface LinkHandlers {
  /**
   * One whole line, its LF (and a CR before it) dropped. `at` is firing time on arrival, epoch ms. `of`: a capture may
   * hold several links, each with its name.
   */
  line(at: number, text: string, of?: string): void;
  /** Something that a capture or the demo kiln says a person logged. */
  logged(at: number, entry: unknown): void;
  /** The link stands otherwise than before; the sentence says what is wrong and what to do. */
  standing(state: LinkStanding['state'], text: string): void;
  /** Input that was dropped before it became a line: overlong, or torn. */
  dropped(): void;
}

export interface Link {
  readonly name: string;
  /** Sends one framed line (LF is added). Does nothing while the link is down. */
  send(line: string): void;
  /** Closes and opens again: the lines say that it has been silent for too long. */
  reopen(): void;
  /**
   * Only where lines carry times of their own (a played capture, the demo kiln): hands on all that is due by now, and
   * says up to when that is, epoch ms.
   */
  catchUp?(): number;
  close(): Promise<void>;
}

export type OpenLink = (handlers: LinkHandlers) => Link;
