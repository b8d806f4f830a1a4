/** The page's colours and words, held to published rules: WCAG 2.2, success criteria 1.4.3 and 1.4.6. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import * as en from '../../dashboard/words/en.ts';

type Rgb = readonly [number, number, number];

function tokens(file: string): Map<string, Rgb> {
  const css = readFileSync(new URL(`../../dashboard/styles/${file}`, import.meta.url), 'utf8');
  const found = [...css.matchAll(/--([\w-]+):\s*#([0-9a-f]{6});/g)];
  return new Map(
    found.map(([, name = '', hex = '']) => [
      name,
      [0, 2, 4].map((i) => Number.parseInt(hex.slice(i, i + 2), 16)) as unknown as Rgb,
    ]),
  );
}

/** Relative luminance, WCAG 2.2. */
function luminance(rgb: Rgb): number {
  const [r, g, b] = rgb.map((channel) => {
    const c = channel / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * (r ?? 0) + 0.7152 * (g ?? 0) + 0.0722 * (b ?? 0);
}

/** Contrast ratio, WCAG 2.2. */
function contrast(a: Rgb, b: Rgb): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return ((light ?? 0) + 0.05) / ((dark ?? 0) + 0.05);
}

const day = tokens('tokens.css');
const night = new Map([...day, ...tokens('tokens-night.css')]);
const LOOKS = [
  ['day', day],
  ['night', night],
] as const;

it('the contrast formula gives the known ratios', () => {
  // Black on white is 21:1 by definition; #767676 is the well-known lightest grey that passes 4.5:1 on white.
  expect(contrast([0, 0, 0], [255, 255, 255])).toBeCloseTo(21, 6);
  expect(contrast([0x76, 0x76, 0x76], [255, 255, 255])).toBeCloseTo(4.54, 2);
});

/** Letters and their ground: 7:1, criterion 1.4.6. */
const LETTERS = [
  ['ink', 'ground'],
  ['ink', 'ground-raised'],
  ['ink', 'ground-sunk'],
  ['ink-soft', 'ground'],
  ['ink-soft', 'ground-raised'],
  ['press-ink', 'press'],
  ['touch-rest-ink', 'touch-rest'],
  ['come-now-ink', 'come-now'],
  ['look-soon-ink', 'look-soon'],
  ['lost-ink', 'lost'],
  ['line-kiln', 'ground'],
] as const;

/** What must be seen but not read: 3:1, criterion 1.4.11; and links and pressed buttons in large letters: 4.5:1. */
const SIGNS = [
  ['touch', 'ground', 4.5],
  ['touch-ink', 'touch', 4.5],
  ['line-1', 'ground', 4.5],
  ['line-2', 'ground', 4.5],
  ['line-3', 'ground', 4.5],
  ['line-4', 'ground', 4.5],
  ['line-1', 'stage-tint', 3],
  ['line-2', 'stage-tint', 3],
  ['line-3', 'stage-tint', 3],
  ['line-4', 'stage-tint', 3],
] as const;

describe.each(LOOKS)('by %s', (_, look) => {
  const of = (name: string): Rgb => {
    const colour = look.get(name);
    if (!colour) throw new Error(`no colour --${name}`);
    return colour;
  };

  it.each(LETTERS)('--%s on --%s reads at 7:1 or more', (front, ground) => {
    expect(contrast(of(front), of(ground))).toBeGreaterThanOrEqual(7);
  });

  it.each(SIGNS)('--%s on --%s is seen at %f:1 or more', (front, ground, least) => {
    expect(contrast(of(front), of(ground))).toBeGreaterThanOrEqual(least);
  });
});

it('by night no colour has more blue than three fifths of its red', () => {
  for (const [name, [red, , blue]] of tokens('tokens-night.css'))
    expect(blue, `--${name}`).toBeLessThanOrEqual(0.6 * red);
});

it('night has its own of every colour that day has', () => {
  expect([...tokens('tokens-night.css').keys()].sort()).toEqual([...day.keys()].sort());
});

it('no word on the page is one that frightens or belongs to an office', () => {
  const words: string[] = [];
  const gather = (value: unknown) => {
    if (typeof value === 'string') words.push(value);
    else if (typeof value === 'function') words.push(String(value('x', 'y')));
    else if (value && typeof value === 'object') for (const inner of Object.values(value)) gather(inner);
  };
  gather({ ...en });
  expect(words.length).toBeGreaterThan(500);
  for (const text of words) expect(text).not.toMatch(/\b(error|device|session|dashboard)s?\b/i);
});
