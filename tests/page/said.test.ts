/** What the collector says, put into German: every sentence that the rules and the check before lighting can say is in the book. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { interpreter } from '../../dashboard/words/said.ts';
import { SAID_CHECK_DE } from '../../dashboard/words/said-check-de.ts';
import { SAID_DE as OF_ALERTS, SLOTS_DE } from '../../dashboard/words/said-de.ts';

const SAID_DE = { ...OF_ALERTS, ...SAID_CHECK_DE };

const said = interpreter(SAID_DE, SLOTS_DE);
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

describe('a sentence of the collector', () => {
  it.each([
    [
      'Hot enough for salt: 2204 °F (1207 °C). Small charges, both holes in turn. Stay upwind of the fume, and never alone.',
      'Heiß genug für Salz: 2204 °F (1207 °C). Kleine Portionen, beide Löcher im Wechsel. Mit dem Wind im Rücken stehen, und nie allein.',
    ],
    [
      'Draw ring 1 is due: 5.8 of 22.7\u00a0kg of salt is in. Gloves and dark glasses on.',
      'Ziehring 1 ist dran: 5,8 von 22,7 kg Salz sind drin. Handschuhe und dunkle Gläser an.',
    ],
    [
      'Probe back low: its circuit is open. Look at the wires, the plug and the couple.',
      'Fühler back low: sein Stromkreis ist offen. Nach Drähten, Stecker und Thermoelement sehen.',
    ],
    ['The last stoke was 1 minute ago.', 'Zuletzt geschürt: 1 Minute her.'],
    [
      'No stoke for 1 h 30 min: is somebody stoking?',
      '1 h 30 min lang nicht geschürt: ist jemand am Schüren?',
    ],
    [
      'For half an hour back has been much hotter than front, by 40\u00a0°C now. Move the damper a little, then wait two or three stokes.',
      'Seit einer halben Stunde ist back viel heißer als front, jetzt um 40 °C. Den Schieber ein wenig verstellen, dann zwei, drei Schürungen abwarten.',
    ],
  ])('%s', (english, german) => {
    expect(plain(said(english))).toBe(german);
  });

  it('that is in no book is left as it was said, and the next one is not lost', () => {
    expect(said('Somebody wrote this. Time to stoke.')).toBe('Somebody wrote this. Zeit zum Schüren.');
    expect(said('')).toBe('');
    expect(said('no end')).toBe('no end');
  });

  it('with a name that looks like a sentence of the book or like a slot keeps it', () => {
    expect(
      said('Probe $& {heat}: its circuit is open. Look at the wires, the plug and the couple.'),
    ).toContain('$& {heat}');
  });
});

it('every phrase has the same slots in both languages', () => {
  const slots = (text: string) => [...text.matchAll(/\{\w+\}/g)].map(([slot]) => slot).sort();
  for (const [english, german] of Object.entries(SAID_DE))
    expect(slots(german), english).toEqual(slots(english));
});

/** Sources whose every sentence reaches the page. A text is a string or a template that is a sentence: it ends as one. */
const SOURCES = [
  'alerts/words.ts',
  'alerts/may-stall.ts',
  ...['climb', 'heat', 'instruments', 'phones', 'salting', 'stall', 'tending'].map(
    (name) => `alerts/rules/${name}.ts`,
  ),
  'collector/core/fault-words.ts',
  ...['judge', 'judge-board', 'judge-probes'].map((name) => `collector/core/board-check/${name}.ts`),
];

/** Each sentence that is in the book as a dot. */
const found = interpreter(
  Object.fromEntries(Object.keys(SAID_DE).map((english) => [english, '•'])),
  SLOTS_DE,
);

/** Values that stand in a template's gaps, by what is written there. */
function filled(text: string): string {
  return text.replace(/\$\{([^{}]|\{[^}]*\})*\}/g, (gap) => {
    if (/soInWords/.test(gap)) return 'The kiln loses heat.';
    if (/usualCauses|byHeat/.test(gap)) return 'No stoke for 12 minutes: is somebody stoking?';
    if (/FAULT_WORDS|wrong\}/.test(gap))
      return 'its circuit is open. Look at the wires, the plug and the couple.';
    if (/saltInWords/.test(gap)) return '12.9 of 50 lb (5.8 of 22.7 kg)';
    if (/heatInWords|differenceInWords|rateInWords/.test(gap))
      return /rate/.test(gap) ? '62 °F (34 °C) an hour' : '62 °F (34 °C)';
    if (/apart/.test(gap)) return '62 °F (34 °C)';
    if (/spanInWords|spanOf|span\b|minutes\}/.test(gap)) return '12 minutes';
    if (/shareInWords/.test(gap)) return '2.5 %';
    if (/way\}/.test(gap)) return 'down';
    if (/probe|hottest|coldest|board\}|other\}|cold\.join|name/.test(gap)) return 'front low';
    if (/\? 'fast' : 'slow'/.test(gap)) return 'fast';
    if (/\? 'below' : 'above'/.test(gap)) return 'below';
    if (/does/.test(gap)) return 'stands still';
    if (/climbInWords/.test(gap)) return 'down 62 °F (34 °C) an hour';
    if (/what\}/.test(gap)) return 'was pulled';
    if (/size\}/.test(gap)) return 'a reading is off by some 2 °F (1 °C)';
    if (/TOO_COLD_FOR_B/.test(gap)) return 'too cold for type B to read';
    if (/logged/.test(gap)) return '';
    return '7';
  });
}

it.each(SOURCES)('every sentence of %s is in the book', (path) => {
  const source = readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8').replace(
    /\/\*[\s\S]*?\*\/|\/\/.*/g,
    '',
  );
  const texts = [...source.matchAll(/'((?:[^'\\\n]|\\.)+)'|"((?:[^"\\\n]|\\.)+)"|`((?:[^`\\]|\\.)+)`/g)]
    .map(([, single, double, template]) => single ?? double ?? template ?? '')
    .filter((text) => / /.test(text) && /[.:?]$|…$/.test(text.replace(/\$\{[^}]*\}$/, '')))
    .map((text) => filled(text).trim());
  expect(texts.length).toBeGreaterThan(0);
  for (const text of texts) expect(found(text), text).toMatch(/^(• ?)+$/);
});
