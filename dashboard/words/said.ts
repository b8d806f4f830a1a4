/**
 * What the collector says, in the page's language. It says everything in English: so it stands in the archive, in messages and
 * in the log, and so every page gets it, of whatever language and however old the firing is. A book of phrases puts it into
 * another language, sentence by sentence; what is not in the book is left as it was said.
 */

/** English to the other language. `{heat}` and the like stand for what changes; a figure behind it tells two of a kind apart. */
export type PhraseBook = Readonly<Record<string, string>>;

/** Turns a span as the collector says it (`12 minutes`, `1 h 30 min`) and a figure into the other language's. */
export interface SlotWords {
  span(text: string): string;
  decimal(text: string): string;
}

const SIGNED = '[-\\u2212]?\\d+';
const SPAN = '(?:\\d+ (?:seconds?|minutes?|days?)|\\d+ h(?: \\d+ min)?)';
const KINDS = {
  /** A heat, a difference or a rate, in one unit or in both. */
  heat: `${SIGNED}[\\u00a0 ]°[FC](?: \\(${SIGNED} °C\\))?`,
  span: SPAN,
  n: '\\d+',
  decimal: '\\d+(?:\\.\\d+)?',
  unit: '(?:lb|kg|lb \\([\\d.]+ of [\\d.]+ kg\\))',
  /** A port, a host, or whatever else has no space in it. */
  path: '\\S+?',
  /** A span in few letters, as a note tells it. */
  short: '\\d+(?:\\.\\d+)? (?:s|min|h|days)',
  /** A name, or whatever else somebody chose. */
  name: '.+?',
} as const;
type Kind = keyof typeof KINDS;

const SLOT = /\{([a-z]+)(\d?)\}/g;

interface Phrase {
  pattern: RegExp;
  slots: readonly string[];
  other: string;
}

function compiled(english: string, other: string): Phrase {
  const slots = [...english.matchAll(SLOT)].map(([slot]) => slot);
  const source = english
    .split(SLOT)
    .map((part, index) => {
      if (index % 3 === 0) return part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&').replaceAll(' ', '[ \\u00a0]');
      if (index % 3 === 2) return '';
      if (!(part in KINDS)) throw new Error(`A phrase has a slot of no known kind: ${part}`);
      return `(${KINDS[part as Kind]})`;
    })
    .join('');
  return { pattern: new RegExp(`^${source}(?=\\s|$)`), slots, other };
}

/** A sentence that is in no book goes on up to here. */
const SENTENCE = /^.*?[.!?:](?=\s|$)/s;
const MOST_REMEMBERED = 500;

/** What turns the collector's words into the other language. Throws if the book has a slot that it does not know. */
export function interpreter(book: PhraseBook, words: SlotWords): (text: string) => string {
  // The longest first: a name in a shorter phrase would swallow the rest of a longer one.
  const phrases = Object.entries(book)
    .sort(([a], [b]) => b.length - a.length)
    .map(([english, other]) => compiled(english, other));
  const known = new Map<string, string>();

  const slotWords = (slot: string, value: string): string => {
    if (slot.startsWith('{span')) return words.span(value);
    return slot.startsWith('{decimal') ? words.decimal(value) : value;
  };
  const piece = (text: string): { said: string; length: number } => {
    for (const { pattern, slots, other } of phrases) {
      const found = pattern.exec(text);
      if (!found) continue;
      const said = slots.reduce(
        (so, slot, index) => so.replace(slot, () => slotWords(slot, found[index + 1] ?? '')),
        other,
      );
      return { said, length: found[0].length };
    }
    const rest = SENTENCE.exec(text)?.[0] ?? text;
    return { said: rest, length: rest.length };
  };
  return (text) => {
    const before = known.get(text);
    if (before !== undefined) return before;
    let said = '';
    let left = text;
    while (left !== '') {
      const [space = ''] = /^\s*/.exec(left) ?? [];
      left = left.slice(space.length);
      if (left === '') break;
      const next = piece(left);
      said += space + next.said;
      left = left.slice(next.length);
    }
    if (known.size >= MOST_REMEMBERED) known.clear();
    known.set(text, said);
    return said;
  };
}
