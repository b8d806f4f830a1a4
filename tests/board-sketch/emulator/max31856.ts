/**
 * A MAX31856 by its data sheet, from memory. Sixteen registers: 00 CR0, 01 CR1, 02 MASK, 03..08 limits, 09 offset of the
 * cold junction, 0A..0B cold junction (14 bits from the top, signed, 1/64 °C), 0C..0E couple (19 bits from the top,
 * signed, 1/128 °C), 0F faults. An address with bit 7 set is written, else read; further bytes are those of the next
 * addresses. The clock's second edge counts: CPHA 1.
 *
 * CR0: 7 converts all the time, 5..4 search for an open couple, 1 clears faults, 0 filters for 50 instead of 60 Hz, which
 * may be changed only while nothing is converted. CR1: 3..0 the couple's type.
 */
import type { AtCouple, ChipWorld, SpiChip } from './chip.ts';

const AFTER_POWER_UP = [0x00, 0x03, 0xff, 0x7f, 0xc0, 0x7f, 0xff, 0x80, 0x00, 0, 0, 0, 0, 0, 0, 0];
const LAST_WRITABLE = 0x0b;
const CONVERT = 0x80;
const SEEK_OPEN = 0x30;
const FIFTY_HZ = 0x01;
const [COLD_JUNCTION, COUPLE, FAULTS] = [0x0a, 0x0c, 0x0f];
/** Time of the first conversion, and from one to the next: the data sheet's longest for 50 Hz, rounded up. */
const FIRST_MS = 190;
const NEXT_MS = 120;

const FAULT_BITS: Record<Exclude<AtCouple, number>, number> = {
  open: 0x01,
  'over-voltage': 0x02,
  'short-to-ground': 0x02,
  'short-to-supply': 0x02,
  range: 0x40,
};

export interface Max31856 extends SpiChip {
  /** The type that it was set up for, bits 3..0 of CR1, and whether for 50 Hz. */
  setUp(): { type: number; fiftyHz: boolean; converting: boolean };
  /** Its supply fails for a moment: it forgets what it was told. */
  losePower(): void;
}

/** `world.couple` in 1/128 °C (19 bits), `world.coldJunction` in 1/64 °C (14 bits). */
export function max31856(world: ChipWorld): Max31856 {
  const told: SpiChip['told'] = [];
  let registers = Uint8Array.from(AFTER_POWER_UP);
  let convertingSince: number | null = null;
  let nowMs = 0;
  let bytes = 0;
  let address = 0;
  let writing = false;
  let coupleRead: { ms: number; couple: AtCouple; coldJunction: number } | null = null;

  const convert = () => {
    if (convertingSince === null || nowMs < convertingSince + FIRST_MS) return;
    const since = nowMs - convertingSince - FIRST_MS;
    const ms = nowMs - (since % NEXT_MS);
    const couple = world.couple(ms);
    const coldJunction = world.coldJunction(ms);
    const view = new DataView(registers.buffer);
    view.setInt16(COLD_JUNCTION, coldJunction << 2);
    if (typeof couple === 'number') {
      view.setUint16(COUPLE, (couple >> 3) & 0xffff);
      view.setUint8(COUPLE + 2, (couple << 5) & 0xff);
    }
    // An open couple is only found if it is looked for.
    const seen =
      couple === 'open' && (registers[0] ?? 0) & SEEK_OPEN ? 'open' : couple === 'open' ? 0 : couple;
    registers[FAULTS] = typeof seen === 'number' ? 0 : FAULT_BITS[seen];
    coupleRead = { ms, couple: seen, coldJunction };
  };
  const write = (byte: number) => {
    if (address > LAST_WRITABLE) return;
    const before = registers[0] ?? 0;
    registers[address] = byte;
    if (address !== 0) return;
    if (before & CONVERT && (before ^ byte) & FIFTY_HZ)
      throw new Error('the filter of a MAX31856 was changed while it converts');
    if (!(byte & CONVERT)) convertingSince = null;
    else convertingSince ??= nowMs;
  };
  return {
    told,
    setUp: () => ({
      type: (registers[1] ?? 0) & 0x0f,
      fiftyHz: ((registers[0] ?? 0) & FIFTY_HZ) !== 0,
      converting: convertingSince !== null,
    }),
    losePower: () => {
      registers = Uint8Array.from(AFTER_POWER_UP);
      convertingSince = null;
    },
    select: (ms, phase) => {
      if (phase !== 1) throw new Error('a MAX31856 is spoken to with CPHA 1');
      nowMs = ms;
      bytes = 0;
      coupleRead = null;
      convert();
    },
    transfer: (byte) => {
      bytes += 1;
      if (bytes === 1) {
        writing = (byte & 0x80) !== 0;
        address = byte & 0x7f;
        return 0;
      }
      const answer = writing ? 0 : (registers[address] ?? 0);
      if (writing) write(byte);
      address += 1;
      return answer;
    },
    deselect: () => {
      if (!writing && address > FAULTS && coupleRead !== null) told.push(coupleRead);
    },
  };
}
