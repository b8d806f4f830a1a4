import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  CAPTURE_HEADER,
  type CaptureLine,
  formatCaptureLine,
  isCaptureHeader,
  parseCaptureLine,
} from '../../protocol/capture.ts';

const at = Date.UTC(2031, 2, 8, 5);

describe('the header', () => {
  test.each([
    ['spyhole-capture 1', true],
    ['spyhole-capture 1\r', true],
    ['\ufeffspyhole-capture 1', true],
    ['spyhole-capture 2', false],
    ['spyhole-capture 1 ', false],
    ['', false],
  ])('%j: %s', (text, is) => expect(isCaptureHeader(text)).toBe(is));
  test('is what is written', () => expect(isCaptureHeader(CAPTURE_HEADER)).toBe(true));
});

describe('records', () => {
  const hello = '$B,1,shed-1,9F00C2A1,1000,3600,low:K:uv,high:S:uv*D916';
  test.each<[string, CaptureLine]>([
    [`2031-03-08T05:00:00.000Z < ${hello}`, { at, direction: '<', link: '', text: hello }],
    [`2031-03-08T05:00:00.000Z <shed-1 ${hello}`, { at, direction: '<', link: 'shed-1', text: hello }],
    ['2031-03-08T05:00:00.000Z >shed-1 $?*264C', { at, direction: '>', link: 'shed-1', text: '$?*264C' }],
    ['2031-03-08T05:00:00.000Z # a comment', { at, direction: '#', link: '', text: 'a comment' }],
    [
      '2031-03-08T05:00:00.000Z @ {"log":"note","note":"caf\u00e9"}',
      { at, direction: '@', link: '', text: '{"log":"note","note":"caf\u00e9"}' },
    ],
    ['2031-03-08T05:00:00.000Z < ', { at, direction: '<', link: '', text: '' }],
    ['2031-03-08T05:00:00.000Z <  23.5', { at, direction: '<', link: '', text: ' 23.5' }],
    [
      '2031-03-08T05:00:00.000Z < a\u2407b\u2400\u2421\ue09b',
      { at, direction: '<', link: '', text: 'a\x07b\0\x7f\x9b' },
    ],
  ])('%j', (line, record) => {
    expect(parseCaptureLine(line)).toEqual(record);
    expect(formatCaptureLine(record)).toBe(line);
  });

  test.each([
    ['a CR before the LF', `2031-03-08T05:00:00.000Z < 23.5\r`, '23.5'],
    ['no space behind the direction', '2031-03-08T05:00:00.000Z <', ''],
  ])('%s is let pass', (_, line, text) => expect(parseCaptureLine(line)?.text).toBe(text));

  test.each([
    '',
    'spyhole-capture 1',
    '2031-03-08T05:00:00Z < 23.5',
    '2031-03-08T05:00:00.000+00:00 < 23.5',
    '2031-02-30T05:00:00.000Z < 23.5',
    '2031-03-08T05:00:00.000Z 23.5',
    '2031-03-08T05:00:00.000Z',
    '2031-03-08T05:00:00.000Z ? 23.5',
    '2031-03-08T05:00:00.000Z @x {}',
    '2031-03-08T05:00:00.000Z< 23.5',
  ])('%j is none', (line) => expect(parseCaptureLine(line)).toBeNull());

  test('a link without a proper name is not written', () => {
    expect(() => formatCaptureLine({ at, direction: '<', link: 'a b', text: '' })).toThrow(RangeError);
  });
});

test('whatever bytes come over a link, they stand on one line of text and are read back', () => {
  const bytes = fc.uint8Array().map((codes) => String.fromCharCode(...codes));
  fc.assert(
    fc.property(bytes, fc.constantFrom('<' as const, '>' as const, '#' as const), (text, direction) => {
      const record = { at, direction, link: '', text };
      const line = formatCaptureLine(record);
      expect(line).toMatch(/^[\t -~\u00a0-\uffff]*$/);
      expect(new TextDecoder().decode(new TextEncoder().encode(line))).toBe(line);
      expect(parseCaptureLine(line)).toEqual(record);
    }),
  );
});

test('any JSON that is logged is read back, however it is laid out', () => {
  fc.assert(
    fc.property(fc.jsonValue(), fc.nat({ max: 2 }), (value, indent) => {
      const text = JSON.stringify(value, null, indent);
      const line = formatCaptureLine({ at, direction: '@', link: '', text });
      expect(line).not.toMatch(/[\r\n]/);
      expect(JSON.parse(parseCaptureLine(line)?.text ?? '')).toEqual(JSON.parse(text));
    }),
  );
});
