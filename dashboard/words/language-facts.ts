/** What a language of the page says of itself, and how it counts. */

export interface LanguageFacts {
  /** Its own name for itself. */
  name: string;
  /** BCP 47: for dates and figures where the reader's browser names no country for it. */
  tag: string;
  dir: 'ltr' | 'rtl';
}

/** Words by how many there are; `other` stands in for what a language does not tell apart. */
type Counted = Partial<Record<Intl.LDMLPluralRule, string>> & { other: string };

/** Chooses a word by how many there are, by the language's own rule (Unicode CLDR's plural rules, through Intl). */
export function countIn(language: string): (n: number, words: Counted) => string {
  const rules = new Intl.PluralRules(language);
  return (n, words) => words[rules.select(n)] ?? words.other;
}
