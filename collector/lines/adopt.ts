/** What a desk learns from the archive after a restart of the collector: which readings there are, and when they were. */
import type { Hello } from '../../protocol/board-lines.ts';
import { noteGot } from './asks.ts';
import { newBoot } from './boot.ts';
import { carryOn } from './counter32.ts';
import { type Desk, noteProbes } from './desk-state.ts';
import type { KeptReading } from './desk-types.ts';
import { noteSeen } from './ledger.ts';
import { isPlainBoard } from './plain-board.ts';
import { enterLive } from './take.ts';

/** The last hello of a board. With several boards in the archive, none speaks here until one says hello. */
export function adoptHello(desk: Desk, hello: Hello): void {
  noteProbes(desk, hello);
  const known = desk.boards.boots.get(hello.board);
  if (known !== undefined && known.hello.boot === hello.boot) {
    known.hello = hello;
    return;
  }
  desk.boards.boots.set(hello.board, { ...newBoot(hello, known ?? null), wholly: false });
  const framed = [...desk.boards.boots.values()].filter((boot) => !isPlainBoard(boot.hello.board));
  desk.current = framed.length === 1 ? (framed[0] ?? null) : null;
}

/** A row of the archive, in order of arrival. Of boots other than the last hello's, only the time counts. */
export function adoptReading(desk: Desk, row: KeptReading): void {
  const boot = desk.boards.boots.get(row.board);
  if (boot === undefined) return;
  if (!row.late) boot.liveAt = Math.max(boot.liveAt, row.at);
  if (boot.hello.boot !== row.boot) return;
  boot.adopted = true;
  const { newest } = boot;
  const seq = newest === null ? row.seq : carryOn(row.seq, newest.seq);
  const uptimeMs = newest === null ? row.uptimeMs : carryOn(row.uptimeMs, newest.uptimeMs);
  if (newest === null || seq > newest.seq) {
    enterLive(desk, boot, { verdict: 'live', seq, uptimeMs }, row.at, []);
  } else {
    noteSeen(boot.ledger, seq, uptimeMs);
    noteGot(boot.asks, seq, row.at);
  }
}
