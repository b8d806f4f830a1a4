/**
 * What a page that reads the board says to the collector, and what it is told, on a WebSocket of its own beside the live
 * one. The board's bytes go as they are, as binary messages, both ways; all else is JSON text.
 */
import { z } from 'zod';

/** Where the page opens it, on the host that served it; with several kilns behind the path of its kiln. */
export const BOARD_PATH = '/board';

/** In place of a port: the board is read by a browser. */
export const BROWSER_PORT = 'browser';

const uuid = z.string().regex(/^([0-9a-f]{4}|[0-9a-f]{32})$/);

export const fromReaderSchema = z.discriminatedUnion('type', [
  /** How does it stand? Answered by `told`. */
  z.object({ type: z.literal('ask') }),
  /** This page has a board, and wants to be the one that reads it. Answered by `held` or `refused`. */
  z.object({ type: z.literal('hold'), phone: z.string().min(1).max(80), name: z.string().min(1).max(80) }),
  /** The board's port stands open here, or does not (any more), and why. */
  z.object({ type: z.literal('port'), open: z.boolean(), text: z.string().max(300) }),
  /** This page reads the board no more. */
  z.object({ type: z.literal('let-go') }),
]);
export type FromReader = z.infer<typeof fromReaderSchema>;

export const toReaderSchema = z.discriminatedUnion('type', [
  z.object({
    type: z.literal('told'),
    baudRate: z.number().int().positive(),
    /** Where the line is over Bluetooth low energy, in 4 or 32 hex digits; null where nobody has said so. */
    ble: z.object({ service: uuid, notify: uuid, write: uuid }).nullable(),
    /** Who reads the board now. */
    holder: z.string().nullable(),
    /** Why no page can read the board here, in a sentence. */
    refused: z.string().nullable(),
  }),
  z.object({ type: z.literal('held') }),
  /** `text` names who holds it. */
  z.object({ type: z.literal('refused'), text: z.string() }),
  /** Nothing has come for long: shut the port and open it again. */
  z.object({ type: z.literal('reopen') }),
  /** Every few seconds, so that a dead connection is noticed. */
  z.object({ type: z.literal('beat') }),
]);
export type ToReader = z.infer<typeof toReaderSchema>;
