/** The curve's colours and letters, read from the page's tokens: the canvas looks as the rest of the page does. */

export interface Ink {
  ink: string;
  soft: string;
  rule: string;
  ground: string;
  tint: string;
  fan: string;
  kiln: string;
  probes: string[];
  glows: string[];
  /** Size of the small letters, CSS px, as large as the reader has set them. */
  sizePx: number;
  font: string;
  boldFont: string;
}

export function readInk(): Ink {
  const style = getComputedStyle(document.documentElement);
  const token = (name: string) => style.getPropertyValue(`--${name}`).trim();
  const rootPx = Number.parseFloat(style.fontSize) || 16;
  const sizePx = Number.parseFloat(token('size-small')) * rootPx || 15;
  const family = token('font');
  return {
    ink: token('ink'),
    soft: token('ink-soft'),
    rule: token('rule'),
    ground: token('ground'),
    tint: token('stage-tint'),
    fan: token('fan'),
    kiln: token('line-kiln'),
    probes: [1, 2, 3, 4].map((n) => token(`line-${n}`)),
    glows: [0, 1, 2, 3, 4, 5, 6, 7, 8].map((n) => token(`glow-${n}`)),
    sizePx,
    font: `${sizePx}px ${family}`,
    boldFont: `700 ${sizePx}px ${family}`,
  };
}

/** A canvas letter size in device pixels. */
export function deviceFont(font: string, ratio: number): string {
  return font.replace(/([\d.]+)px/, (_, px: string) => `${Number(px) * ratio}px`);
}
