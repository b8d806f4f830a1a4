/** Intel HEX (Intel, Hexadecimal Object File Format Specification, 1988): what avr-objcopy writes and a programmer takes. */

const RECORD = /^:([0-9A-F]{2})([0-9A-F]{4})([0-9A-F]{2})([0-9A-F]*)([0-9A-F]{2})$/;
const DATA = 0;
const END = 1;

/** The program memory that a file fills, in words, erased where it does not. Throws for what is no such file. */
export function readHex(text: string, flashBytes: number): Uint16Array {
  const bytes = new Uint8Array(flashBytes).fill(0xff);
  let ended = false;
  for (const line of text.trimEnd().split(/\r?\n/)) {
    const record = RECORD.exec(line);
    if (!record || ended) throw new Error(`no line of an Intel HEX file: ${line}`);
    const all = Buffer.from(line.slice(1), 'hex');
    if ((all.reduce((sum, byte) => sum + byte, 0) & 0xff) !== 0) throw new Error(`wrong checksum: ${line}`);
    const data = all.subarray(4, -1);
    const type = all.readUInt8(3);
    if (all.readUInt8(0) !== data.length || (type !== DATA && type !== END))
      throw new Error(`a record that a program of ${flashBytes} bytes does not need: ${line}`);
    if (type === DATA) bytes.set(data, all.readUInt16BE(1));
    ended = type === END;
  }
  if (!ended) throw new Error('the file has no end record');
  return new Uint16Array(bytes.buffer);
}
