import { PassThrough } from 'node:stream';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LINE_LIMIT_BYTES, lineGuard, readPortLines } from '../../collector/links/port-lines.ts';

/** What comes of these chunks, one after the other. */
async function read(chunks: Uint8Array[]): Promise<{ lines: string[]; dropped: number }> {
  const source = new PassThrough();
  const got = { lines: [] as string[], dropped: 0 };
  const reading = readPortLines(
    source,
    (text) => got.lines.push(text),
    () => {
      got.dropped += 1;
    },
  );
  for (const chunk of chunks) source.write(chunk);
  await new Promise(setImmediate);
  reading.stop();
  return got;
}
const bytes = (text: string) => Buffer.from(text, 'latin1');

describe('lines of a port', () => {
  it.each<[string, string, string[], number]>([
    ['hands on a framed first line', '$?*264C\n$L,2*F1CA\n', ['$?*264C', '$L,2*F1CA'], 0],
    ['drops a torn first line', '264C\n$L,2*F1CA\n', ['$L,2*F1CA'], 1],
    ['drops the first line of a plain board', '21.5\n21.6\n', ['21.6'], 1],
    ['drops the CR before LF, and no other', '$a\r\r\n$b\rc\n', ['$a\r', '$b\rc'], 0],
    ['drops a line that has no end', '$a\n$b', ['$a'], 1],
    [
      'takes a line as long as the limit',
      `$${'x'.repeat(LINE_LIMIT_BYTES - 1)}\n`,
      [`$${'x'.repeat(LINE_LIMIT_BYTES - 1)}`],
      0,
    ],
    ['drops a line one byte longer', `$${'x'.repeat(LINE_LIMIT_BYTES)}\n$b\n`, ['$b'], 1],
    ['counts an overlong line once, though it has no end', 'x'.repeat(100_000), [], 1],
    ['keeps every byte, text or not', '$\xff\x80\x00\xe9\n', ['$\xff\x80\x00\xe9'], 0],
  ])('%s', async (_what, text, lines, dropped) => {
    expect(await read([bytes(text)])).toEqual({ lines, dropped });
  });

  it('gives the same whatever way the bytes come in', async () => {
    const byte = fc.oneof(fc.constantFrom(0x0a, 0x0d, 0x24, 0x2a, 0x31), fc.nat(255));
    const stretch = fc.oneof(fc.array(byte, { maxLength: 40 }), fc.constant(Array<number>(600).fill(0x78)));
    await fc.assert(
      fc.asyncProperty(
        fc.array(stretch, { maxLength: 8 }).map((parts) => Buffer.from(parts.flat())),
        fc.array(fc.integer({ min: 1, max: 200 }), { minLength: 1, maxLength: 12 }),
        async (all, sizes) => {
          const chunks: Uint8Array[] = [];
          for (let at = 0, n = 0; at < all.length; n += 1) {
            const size = sizes[n % sizes.length] ?? 1;
            chunks.push(all.subarray(at, at + size));
            at += size;
          }
          const got = await read(chunks);
          expect(got).toEqual(await read([all]));
          // The plain way to say it: whole lines, none too long, the first only if it is framed.
          const whole = all.toString('latin1').split('\n').slice(0, -1);
          const [first, ...others] = whole.filter((text) => text !== '');
          const kept = [...(first?.startsWith('$') ? [first] : []), ...others];
          const expected = kept.filter((text) => text.length <= LINE_LIMIT_BYTES);
          expect(got.lines).toEqual(expected.map((text) => text.replace(/\r$/, '')));
        },
      ),
      { numRuns: 200 },
    );
  });

  it('passes on no more than a line while no newline comes, as at a wrong speed', async () => {
    let overlong = 0;
    const { guard } = lineGuard(() => {
      overlong += 1;
    });
    let passed = 0;
    guard.on('data', (chunk: Buffer) => {
      passed += chunk.length;
    });
    for (let n = 0; n < 200; n += 1) guard.write(Buffer.alloc(10_000, 0xf8));
    await new Promise(setImmediate);
    expect([passed, overlong]).toEqual([LINE_LIMIT_BYTES + 1, 1]);
  });

  it('does not take the tail of a source that ends for a line', async () => {
    const source = new PassThrough();
    const lines: string[] = [];
    readPortLines(
      source,
      (text) => lines.push(text),
      () => undefined,
    );
    source.end('$a\n$b');
    await new Promise((resolve) => source.once('close', resolve));
    await new Promise(setImmediate);
    expect(lines).toEqual(['$a']);
  });

  it('lets go of the source, and hears nothing more of it', async () => {
    const source = new PassThrough();
    const lines: string[] = [];
    const before = source.eventNames();
    const reading = readPortLines(
      source,
      (text) => lines.push(text),
      () => undefined,
    );
    source.write('$a\n');
    await new Promise(setImmediate);
    reading.stop();
    source.write('$b\n');
    await new Promise(setImmediate);
    expect(lines).toEqual(['$a']);
    expect(source.eventNames()).toEqual(before);
  });
});
