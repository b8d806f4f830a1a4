/** Day, night, or as the system has it: switches the sheet of night's colours on and off. */
import type { Settings } from './settings.ts';

const MEDIA: Record<Settings['look'], string> = {
  self: '(prefers-color-scheme: dark)',
  day: 'not all',
  night: 'all',
};

export function wear(look: Settings['look']): void {
  const night = document.querySelector<HTMLLinkElement>('#night');
  if (night) night.media = MEDIA[look];
}
