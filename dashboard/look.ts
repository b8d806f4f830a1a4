/** Day, night, or as the system has it: switches the sheet of night's colours on and off, and the browser's own edges with it. */
import type { Settings } from './settings.ts';

const MEDIA: Record<Settings['look'], string> = {
  self: '(prefers-color-scheme: dark)',
  day: 'not all',
  night: 'all',
};

export function wear(look: Settings['look']): void {
  const night = document.querySelector<HTMLLinkElement>('#night');
  if (night) night.media = MEDIA[look];
  edge();
}

/** The bar above the page is of the page's own ground, whatever sheet gives that. */
function edge(): void {
  const ground = getComputedStyle(document.documentElement).getPropertyValue('--ground').trim();
  if (ground !== '') document.querySelector('meta[name="theme-color"]')?.setAttribute('content', ground);
}

matchMedia(MEDIA.self).addEventListener('change', edge);
