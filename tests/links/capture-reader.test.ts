import { readdirSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { captureStart, readCapture } from '../../collector/links/capture-reader.ts';
import { type CaptureLine, formatCaptureLine } from '../../protocol/capture.ts';

const START = Date.UTC(2031, 2, 8, 5);
const HEADER = 'spyhole-capture 1\n';
/** The example of the format's description. */
const HELLO = '2031-03-08T05:00:00.000Z < $B,1,shed-1,9F00C2A1,1000,3600,low:K:uv,high:S:uv*D916\n';
const READING = '2031-03-08T05:00:01.000Z < $R,0,1000,18.50,12,3*3085\n';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'spyhole-captures-'));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

async function capture(content: string | Buffer): Promise<string> {
  const path = join(folder, 'one.capture');
  await writeFile(path, content);
  return path;
}

async function readAll(path: string): Promise<{ lines: CaptureLine[]; bad: number; longestBatch: number }> {
  const all: { lines: CaptureLine[]; bad: number; longestBatch: number } = {
    lines: [],
    bad: 0,
    longestBatch: 0,
  };
  for await (const { lines, bad } of readCapture(path)) {
    all.lines.push(...lines);
    all.bad += bad;
    all.longestBatch = Math.max(all.longestBatch, lines.length);
  }
  return all;
}

describe('reading a capture', () => {
  it('gives its records in order', async () => {
    const { lines, bad } = await readAll(await capture(HEADER + HELLO + READING));
    expect(bad).toBe(0);
    expect(lines).toEqual([
      {
        at: START,
        direction: '<',
        link: '',
        text: '$B,1,shed-1,9F00C2A1,1000,3600,low:K:uv,high:S:uv*D916',
      },
      { at: START + 1_000, direction: '<', link: '', text: '$R,0,1000,18.50,12,3*3085' },
    ]);
  });

  it.each([
    ['that ends in the middle of a line', HEADER + HELLO + READING.slice(0, -7), 1, 0],
    ['that ends in the middle of a line that looks whole', HEADER + HELLO + READING.trimEnd(), 1, 0],
    ['with its lines ended by CR and LF', (HEADER + HELLO + READING).replaceAll('\n', '\r\n'), 2, 0],
    ['with a byte order mark', `\ufeff${HEADER}${HELLO}`, 1, 0],
    ['with empty lines', `${HEADER}\n${HELLO}\n\n${READING}`, 2, 0],
    ['with lines that are no records', `${HEADER}what is this\n${HELLO}2031-03-08 < $?*264C\n`, 1, 2],
    ['with a line that never seems to end', `${HEADER}${HELLO}${'x'.repeat(3_000_000)}\n${READING}`, 2, 1],
    ['with a header and nothing else', HEADER, 0, 0],
    ['with a header that has no line end yet', HEADER.trimEnd(), 0, 0],
  ])('takes one %s', async (_what, content, records, bad) => {
    const read = await readAll(await capture(content));
    expect(read.lines.length).toBe(records);
    expect(read.bad).toBe(bad);
  });

  it('gives a long one back whole, whatever the chunks split, and in small batches', async () => {
    const lines: CaptureLine[] = Array.from({ length: 30_000 }, (_, n) => ({
      at: START + n * 1_000,
      direction: n % 3 === 0 ? '#' : '<',
      link: '',
      text: `Nº ${n} – ${'ü'.repeat(n % 17)}`,
    }));
    const path = await capture(`${HEADER}${lines.map(formatCaptureLine).join('\n')}\n`);
    const read = await readAll(path);
    expect(read.lines).toEqual(lines);
    expect(read.longestBatch).toBeLessThan(3_000);
  });

  it('lets go of the file when the reader stops early', async () => {
    const path = await capture(HEADER + HELLO.repeat(20_000));
    const descriptors = () => readdirSync('/dev/fd').length;
    const before = descriptors();
    const batches = readCapture(path);
    await batches.next();
    expect(descriptors()).toBeGreaterThan(before);
    await batches.return();
    await vi.waitFor(() => expect(descriptors()).toBeLessThanOrEqual(before), { timeout: 10_000 });
  });

  const isNone = "is no capture: its first line must be 'spyhole-capture 1'.";
  it.each<[string, string | Buffer, string]>([
    ['an empty file', '', isNone],
    ['a torn header', 'spyhole-capt', isNone],
    ['a table', 'time,temp\n05:00,20\n', isNone],
    ['bytes without a newline', Buffer.alloc(2_000_000, 0x07), isNone],
    [
      'another version',
      'spyhole-capture 2\n',
      "is a capture of another version: this Spyhole reads 'spyhole-capture 1'.",
    ],
  ])('refuses %s in one sentence', async (_what, content, sentence) => {
    const path = await capture(content);
    await expect(readAll(path)).rejects.toThrow(new Error(`${path} ${sentence}`));
  });

  it('says in one sentence that there is no such file, or that it is a folder', async () => {
    const missing = join(folder, 'none.capture');
    await expect(readAll(missing)).rejects.toThrow(new Error(`There is no file ${missing}.`));
    await expect(readAll(folder)).rejects.toThrow(
      new Error(`${folder} is a folder and no capture: give a file in it.`),
    );
  });
});

describe('the first time of a capture', () => {
  it('is that of its first record, whatever that is', async () => {
    expect(
      await captureStart(await capture(`${HEADER}2031-03-08T04:59:59.500Z # cold and clear\n${HELLO}`)),
    ).toBe(START - 500);
  });

  it('is refused for a capture with nothing in it', async () => {
    const path = await capture(HEADER);
    await expect(captureStart(path)).rejects.toThrow(new Error(`${path} is a capture with nothing in it.`));
  });
});
