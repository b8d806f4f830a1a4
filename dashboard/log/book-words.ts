/** The words about the log book's lines: where they were made, and how they are mended. */

/** What a line is about, to show some of them alone. */
export type Kind = 'fire' | 'salt' | 'cones' | 'notes' | 'calls';

export const KIND_WORDS: readonly (readonly [Kind | 'all', string])[] = [
  ['all', 'all'],
  ['fire', 'fire'],
  ['salt', 'salt and rings'],
  ['cones', 'cones and couples'],
  ['notes', 'notes'],
  ['calls', 'calls'],
];

export const BOOK = {
  show: 'Show',
  nothingOfIt: 'Nothing of that kind yet.',
  here: 'on this phone',
  onPhone: (phone: string) => `on ${phone}`,
  atButton: "at the board's button",
  byItself: 'by Spyhole itself',
  writtenAt: (when: string) => `written down ${when}`,
  mended: 'mended',
  mendedFrom: (when: string) => `mended, was ${when}`,
  mendOf: (words: string, when: string) => `${words}, ${when}: mend or take back`,
  mendTime: 'When it was',
  minutes: (minutes: number) => `${minutes > 0 ? '+' : '−'}${Math.abs(minutes)} min`,
  willBe: (when: string) => `Write down ${when}`,
} as const;
