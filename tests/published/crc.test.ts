import { expect, test } from 'vitest';
import { crc16, crcText } from '../../protocol/crc16.ts';

// Catalogue of parametrised CRC algorithms (reveng.sourceforge.io), CRC-16/IBM-3740, alias CRC-16/CCITT-FALSE:
// check 29B1, the CRC of the ASCII text 123456789. Written down from memory.
test('gives the check value of the CRC catalogue', () => {
  expect(crcText(crc16('123456789'))).toBe('29B1');
});

// The same entry's residue, 0000: over a message and its own CRC (high byte first) the CRC is 0.
test('leaves the residue of the CRC catalogue', () => {
  for (const message of ['', 'A', '123456789', 'R,0,1000,18.50,12,3']) {
    const crc = crc16(message);
    const whole = message + String.fromCharCode(crc >> 8, crc & 0xff);
    expect(crc16(whole)).toBe(0);
  }
});

// The definition itself, a bit at a time: polynomial x^16 + x^12 + x^5 + 1 (ITU-T V.41), register preset to ones.
test('equals long division bit by bit', () => {
  const bitwise = (bytes: number[]) => {
    let register = 0xffff;
    for (const byte of bytes) {
      for (let bit = 7; bit >= 0; bit -= 1) {
        const out = (register >> 15) ^ ((byte >> bit) & 1);
        register = (register << 1) & 0xffff;
        if (out === 1) register ^= (1 << 12) | (1 << 5) | 1;
      }
    }
    return register;
  };
  for (let length = 0; length < 200; length += 7) {
    const bytes = Array.from({ length }, (_, i) => (i * 37 + length * 11) & 0xff);
    expect(crc16(String.fromCharCode(...bytes))).toBe(bitwise(bytes));
  }
});
