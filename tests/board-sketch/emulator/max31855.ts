/**
 * A MAX31855 by its data sheet, from memory. It only talks: 32 bits, highest first, latched when its select line falls.
 * 31..18 couple, signed, 0.25 °C; 17 zero; 16 any fault; 15..4 cold junction, signed, 0.0625 °C; 3 zero; 2 short to the
 * supply, 1 short to ground, 0 open. The clock idles low, a bit is there when the clock rises: CPHA 0.
 */
import type { AtCouple, ChipWorld, SpiChip } from './chip.ts';

const FAULT_BITS: Partial<Record<AtCouple, number>> = {
  open: 0x1_0001,
  'short-to-ground': 0x1_0002,
  'short-to-supply': 0x1_0004,
};

/** `world.couple` in quarters of a degree (14 bits), `world.coldJunction` in sixteenths (12 bits). */
export function max31855(world: ChipWorld): SpiChip {
  const told: SpiChip['told'] = [];
  const word = new DataView(new ArrayBuffer(4));
  let sent = 0;
  return {
    told,
    select: (ms, phase) => {
      if (phase !== 0) throw new Error('a MAX31855 is read with CPHA 0');
      const couple = world.couple(ms);
      const coldJunction = world.coldJunction(ms);
      const faults = typeof couple === 'number' ? 0 : FAULT_BITS[couple];
      if (faults === undefined) throw new Error(`a MAX31855 cannot tell ${couple}`);
      const hot = typeof couple === 'number' ? couple : 0;
      word.setUint32(0, ((hot & 0x3fff) << 18) | ((coldJunction & 0xfff) << 4) | faults);
      told.push({ ms, couple, coldJunction });
      sent = 0;
    },
    transfer: () => {
      const byte = sent < 4 ? word.getUint8(sent) : 0;
      sent += 1;
      return byte;
    },
    deselect: () => {
      if (sent !== 4) throw new Error(`a MAX31855 was read for ${sent} bytes, not 4`);
    },
  };
}
