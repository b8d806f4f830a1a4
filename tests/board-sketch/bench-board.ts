/** A board on the bench: the compiled sketch in the emulator, with somebody who listens to all that it says. */
import { type BoardLine, parseBoardLine } from '../../protocol/board-lines.ts';
import { crc16, crcText } from '../../protocol/crc16.ts';
import { randomFrom } from '../lines/fake-board.ts';
import { type Board, startBoard } from './emulator/board.ts';
import type { ChipWorld, SpiChip } from './emulator/chip.ts';
import { kilnWorld } from './emulator/kiln-world.ts';
import { max31855 } from './emulator/max31855.ts';
import { max31856 } from './emulator/max31856.ts';
import { compileBoard, type Firmware } from './toolchain.ts';

/** Pins of board-config.h, and of the boards made for tests. */
export const PINS = { selects: [10, 9, 8, 7], buttons: [2, 3, 4, 5], lamp: 6, buzzer: 14 } as const;

export interface Said {
  /** When its LF was sent, in the board's time. */
  ms: number;
  text: string;
}

export interface BenchBoard {
  board: Board;
  chips: SpiChip[];
  /** Every line that it has said, whether or not a cable was there. */
  said: Said[];
  /** Lines of one kind among them. Throws if any line is not of the format. */
  lines<Kind extends BoardLine['kind']>(kind: Kind): Extract<BoardLine, { kind: Kind }>[];
  /** A line to the board, LF added. */
  tell(text: string): void;
  /** Goes on by so many milliseconds. */
  go(ms: number): void;
  /** Called with every byte that it sends. */
  onByte: (byte: number) => void;
}

export interface BenchOptions {
  firmware?: Firmware;
  /** In the order of the sketch's probes. Unless told: those of board-config.h, in a kiln. */
  chips?: SpiChip[];
  seed?: number;
}

/** `low` and `high` of board-config.h. */
export function kilnChips(seed = 1): SpiChip[] {
  return [
    max31855(kilnWorld({ seed, steps: 4, coldJunctionSteps: 16 })),
    max31856(kilnWorld({ seed: seed + 1, steps: 128, coldJunctionSteps: 64 })),
  ];
}

export function constantWorld(couple: number, coldJunction: number): ChipWorld {
  return { couple: () => couple, coldJunction: () => coldJunction };
}

export function benchBoard(options: BenchOptions = {}): BenchBoard {
  const { firmware = compileBoard(), seed = 1, chips = kilnChips(seed) } = options;
  const said: Said[] = [];
  let text = '';
  const board = startBoard({
    firmware,
    chips: new Map(chips.map((chip, place) => [PINS.selects[place] ?? 0, chip])),
    random: randomFrom(seed),
    watched: [PINS.lamp, PINS.buzzer],
  });
  const bench: BenchBoard = {
    board,
    chips,
    said,
    lines: <Kind extends BoardLine['kind']>(kind: Kind) =>
      said.flatMap(({ text }) => {
        const parsed = parseBoardLine(text);
        if (!parsed.ok) throw new Error(`${parsed.why}: ${text}`);
        return parsed.line.kind === kind ? [parsed.line as Extract<BoardLine, { kind: Kind }>] : [];
      }),
    tell: (line) => board.hear(Buffer.from(`${line}\n`, 'latin1')),
    go: (ms) => board.runTo(board.ms + ms),
    onByte: () => undefined,
  };
  board.onByte = (byte) => {
    if (byte === 0x0a) {
      said.push({ ms: board.ms, text });
      text = '';
    } else {
      text += String.fromCharCode(byte);
    }
    bench.onByte(byte);
  };
  return bench;
}

/** A body in its frame, whatever it is. */
export function framed(body: string): string {
  return `$${body}*${crcText(crc16(body))}`;
}
