/**
 * Between the board that this browser reads and the collector: what comes from the board goes on as it is, and back. It
 * keeps both ends open for ever, each by itself; what the board said while the other end was away the collector asks for.
 */

import { BOARD_PATH, type FromReader, type ToReader, toReaderSchema } from '../../protocol/browser-link.ts';
import { keepConnected, type Socket } from '../connection.ts';
import { LINK } from '../words.ts';
import type { BoardPort, OpenBoard } from './board-port.ts';

export interface Bridge {
  state(): BridgeState;
  /** Reads this board from now on. */
  take(port: BoardPort): void;
  letGo(): void;
}

export interface BridgeState {
  /** The collector's word on how it stands; null until it is heard. */
  told: Extract<ToReader, { type: 'told' }> | null;
  connected: boolean;
  /** Why this page may not read the board, in a sentence; null: nobody else does. */
  refused: string | null;
  /** `none`: no board was chosen here. */
  port: 'none' | 'asking' | 'opening' | 'open' | 'lost';
  trouble: string | null;
  bytes: number;
  /** When the board last said anything, `performance.now()`. */
  lastMs: number | null;
}

export interface BridgeParts {
  /** The path of this kiln's page, without a slash at the end. */
  kilnPath: string;
  phone: string;
  /** By what name others are told who reads the board. */
  name(): string;
  changed(): void;
}

/** A port that does not open, or whose board has gone, is tried again so often. */
const AGAIN_MS = 2000;
/** More than this on its way to the collector: the board waits, as its browser keeps some more of what it says. */
const MOST_UNSENT_BYTES = 64 * 1024;
const LOOK_AGAIN_MS = 50;
/** Lines for the board that have not been written yet: beyond, it takes nothing, and more is dropped. */
const MOST_UNWRITTEN_BYTES = 1024;

const sleep = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms));

export function openBridge({ kilnPath, phone, name, changed }: BridgeParts): Bridge {
  const state: BridgeState = {
    told: null,
    connected: false,
    refused: null,
    port: 'none',
    trouble: null,
    bytes: 0,
    lastMs: null,
  };
  let socket: WebSocket | null = null;
  let wanted: BoardPort | null = null;
  let running: BoardPort | null = null;
  let open: OpenBoard | null = null;
  let unwritten = 0;

  const set = (part: Partial<BridgeState>) => {
    Object.assign(state, part);
    changed();
  };

  const opening = (): FromReader => (wanted ? { type: 'hold', phone, name: name() } : { type: 'ask' });

  const connection = keepConnected({
    dial() {
      const dialled = new WebSocket(`${location.origin.replace(/^http/, 'ws')}${kilnPath}${BOARD_PATH}`);
      dialled.binaryType = 'arraybuffer';
      dialled.addEventListener('message', ({ data }) => {
        if (data instanceof ArrayBuffer) toBoard(new Uint8Array(data));
      });
      socket = dialled;
      return dialled as Socket;
    },
    after: (delayMs, fn) => {
      const timer = setTimeout(fn, delayMs);
      return () => clearTimeout(timer);
    },
    chance: Math.random,
    greeting: () => JSON.stringify({ type: 'ask' } satisfies FromReader),
    heard: hear,
    standing: (standing) => set({ connected: standing === 'open' }),
  });
  const tell = (message: FromReader) => connection.send(JSON.stringify(message));

  function hear(text: string): void {
    const parsed = toReaderSchema.safeParse(JSON.parse(text));
    if (!parsed.success) return;
    const message = parsed.data;
    if (message.type === 'told') {
      set({ told: message });
      if (wanted) tell(opening());
    } else if (message.type === 'held') {
      set({ refused: null });
      if (open) tell({ type: 'port', open: true, text: '' });
      if (wanted && running !== wanted) void run(wanted);
    } else if (message.type === 'refused') {
      letGoHere();
      set({ refused: message.text });
    } else if (message.type === 'reopen') void open?.close();
  }

  /** Opens it, reads it until it is gone, and again, until another is wanted. */
  async function run(port: BoardPort): Promise<void> {
    running = port;
    const lostWords = port.kind === 'serial' ? LINK.unplugged : LINK.outOfReach;
    while (wanted === port) {
      set({ port: state.port === 'lost' ? 'lost' : 'opening' });
      try {
        open = await port.open(state.told?.baudRate ?? 115_200);
        set({ port: 'open', trouble: null });
        tell({ type: 'port', open: true, text: '' });
        await open.read(toCollector);
      } catch (cause) {
        const text = cause instanceof Error ? cause.message : String(cause);
        set({ trouble: text === 'ENOENT' ? LINK.gone : text });
      }
      await open?.close();
      open = null;
      if (wanted !== port) break;
      set({ port: 'lost' });
      tell({ type: 'port', open: false, text: lostWords(name()) });
      await sleep(AGAIN_MS);
    }
    if (running === port) running = null;
  }

  async function toCollector(bytes: Uint8Array): Promise<void> {
    state.bytes += bytes.length;
    state.lastMs = performance.now();
    while (socket && socket.readyState === WebSocket.OPEN && socket.bufferedAmount > MOST_UNSENT_BYTES)
      await sleep(LOOK_AGAIN_MS);
    // While the collector is away it is not kept: the board has it, and is asked for it.
    if (socket?.readyState === WebSocket.OPEN) socket.send(new Uint8Array(bytes));
  }

  function toBoard(bytes: Uint8Array<ArrayBuffer>): void {
    if (!open || unwritten + bytes.length > MOST_UNWRITTEN_BYTES) return;
    unwritten += bytes.length;
    void open
      .write(bytes)
      .catch(() => undefined)
      .then(() => {
        unwritten -= bytes.length;
      });
  }

  function letGoHere(): void {
    wanted = null;
    void open?.close();
    set({ port: 'none', trouble: null });
  }

  return {
    state: () => state,
    take(port) {
      if (wanted) letGoHere();
      wanted = port;
      set({ port: 'asking', refused: null, trouble: null });
      tell(opening());
    },
    letGo() {
      letGoHere();
      tell({ type: 'let-go' });
      tell({ type: 'ask' });
    },
  };
}
