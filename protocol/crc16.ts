/** CRC-16/CCITT-FALSE (also CRC-16/IBM-3740): polynomial 1021, start FFFF, not reflected, no final XOR. */

const TABLE = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte << 8;
  for (let bit = 0; bit < 8; bit += 1) crc = crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1;
  return crc & 0xffff;
});

/**
 * The CRC of the characters of `text` from `start` up to `end` (the whole text unless told), each taken as one byte.
 * The check value of the CRC catalogue: `123456789` gives 29B1. A character above U+00FF is no byte and gives NaN,
 * which equals no CRC.
 */
export function crc16(text: string, start = 0, end = text.length): number {
  let crc = 0xffff;
  for (let i = start; i < end; i += 1) {
    const byte = text.charCodeAt(i);
    if (byte > 0xff) return Number.NaN;
    crc = ((crc << 8) ^ (TABLE[(crc >> 8) ^ byte] ?? 0)) & 0xffff;
  }
  return crc;
}

/** A CRC as it stands on a line: four upper-case hex digits. */
export function crcText(crc: number): string {
  return crc.toString(16).toUpperCase().padStart(4, '0');
}
