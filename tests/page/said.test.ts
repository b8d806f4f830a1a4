/** What the collector says, put into German: every sentence that the rules and the check before lighting can say is in the book. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { writingTrouble } from '../../collector/archive/trouble.ts';
import { interpreter } from '../../dashboard/words/said.ts';
import { SAID_CHECK_DE } from '../../dashboard/words/said-check-de.ts';
import { SAID_DE as OF_ALERTS } from '../../dashboard/words/said-de.ts';
import { SAID_IMPORT_DE } from '../../dashboard/words/said-import-de.ts';
import { SAID_LINKS_DE } from '../../dashboard/words/said-links-de.ts';
import { SLOTS_DE } from '../../dashboard/words/slots-de.ts';

const SAID_DE = { ...OF_ALERTS, ...SAID_CHECK_DE, ...SAID_LINKS_DE, ...SAID_IMPORT_DE };

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
    [
      "There is no port /dev/ttyUSB0: plug the board in, or see with 'npm start -- ports' which ports there are.",
      'Es gibt keinen Anschluss /dev/ttyUSB0: die Platine einstecken, oder mit „npm start -- ports“ sehen, welche es gibt.',
    ],
    ['Come now: spring kiln', 'Sofort kommen: spring kiln'],
    ['Imke has heard: It climbs again.', 'Imke hat gehört: Er steigt wieder.'],
    [
      'The disk is full: readings are kept in memory for now. Free some space.',
      'Die Platte ist voll: die Messwerte bleiben vorerst im Speicher. Platz schaffen.',
    ],
    [
      'The archive of spring has rows that cannot be read; they are left out. The first: row 3.',
      'Von spring sind Zeilen nicht zu lesen; sie sind ausgelassen. Die erste: row 3.',
    ],
    [
      'The file is larger than 64 MB: part it, or leave out columns.',
      'Die Datei ist größer als 64 MB: sie teilen oder Spalten weglassen.',
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
  'collector/board-check/checker.ts',
  'collector/commands/kiln.ts',
  ...[
    'ble-steps',
    'browser-link',
    'capture-link',
    'capture-reader',
    'demo',
    'gatt-noble',
    'gatt-words',
    'port-trouble',
    'serial-steps',
  ].map((name) => `collector/links/${name}.ts`),
  ...[
    'begin',
    'desk-notes',
    'entry',
    'guard',
    'wall-clock',
    'watch',
    'watch-book',
    'watched-link',
    'watching',
  ].map((name) => `collector/firing/${name}.ts`),
  ...['clients', 'import-doors', 'page-messages', 'page-ways', 'results-doors'].map(
    (name) => `collector/server/${name}.ts`,
  ),
  ...['read', 'results', 'trouble'].map((name) => `collector/archive/${name}.ts`),
  ...['book', 'csv', 'gather', 'make', 'zip'].map((name) => `collector/import/${name}.ts`),
  ...['desk', 'loudspeaker', 'mail', 'mqtt', 'open', 'outside', 'push', 'push-store', 'webhook'].map(
    (name) => `collector/ways/${name}.ts`,
  ),
];

/** Said where no page hears it: before there is a page, or to a page's script alone. */
const NOT_ON_THE_PAGE =
  /^(The first message of a page|The firing in .* cannot be read|Plug its disk in|Move it away|.* no folder can be made for the firing|It is no plan: the plan in log.csv|Push keys cannot be kept|.* is put aside as)/;

/** Each sentence that is in the book as a dot. */
const found = interpreter(
  Object.fromEntries(Object.keys(SAID_DE).map((english) => [english, '•'])),
  SLOTS_DE,
);

/** Values that stand in a template's gaps, by what is written there. */
function filled(text: string): string {
  return text
    .replace(/^No \$\{what\} is set/, 'No webhook is set')
    .replace(/\$\{([^{}]|\{[^}]*\})*\}/g, (gap) => {
      if (/TROUBLE_CAUSE|\bcause\}/.test(gap)) return 'The disk is full';
      if (/ownCommand/.test(gap)) return 'npm start -- watch --port browser';
      if (/\bcure\}/.test(gap)) return 'Free some space.';
      if (/wireOf/.test(gap)) return 'the one wire at /dev/ttyUSB0';
      if (/minutes\(output|span\(Math/.test(gap)) return '12 min';
      if (/'back' : 'forward'/.test(gap)) return 'back';
      if (/times\(/.test(gap)) return '3 times';
      if (/'phone is'/.test(gap)) return 'phones are';
      if (/'has' : 'have'/.test(gap)) return 'have';
      if (/notReached/.test(gap)) return 'The broker kiln.example is not reached: no answer in time.';
      if (/noPlayer/.test(gap)) return 'This computer has no program that plays a tone (aplay).';
      if (/\bAGAIN\}/.test(gap)) return 'Spyhole goes on by itself';
      if (/\bwas\}/.test(gap)) return ' (it was /dev/ttyUSB0)';
      if (/path\}|device\}|host\}|FILE\}|file\}|basename|HEADER/.test(gap)) return '/dev/ttyUSB0';
      if (/where\}/.test(gap)) return ' (log)';
      if (/text \?\?/.test(gap)) return 'kiln.example has taken it.';
      if (/soInWords/.test(gap)) return 'The kiln loses heat.';
      if (/usualCauses|fallCauses|byHeat/.test(gap)) return 'No stoke for 12 minutes: is somebody stoking?';
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
      if (/\{rate\}/.test(gap)) return ': down 62 °F (34 °C) an hour';
      if (/climbInWords/.test(gap)) return 'down 62 °F (34 °C) an hour';
      if (/what\}/.test(gap)) return 'was pulled';
      if (/size\}/.test(gap)) return 'a reading is off by some 2 °F (1 °C)';
      if (/TOO_COLD_FOR_B/.test(gap)) return 'too cold for type B to read';
      if (/logged/.test(gap)) return '';
      return '7';
    });
}

it.each([true, false])(
  'every trouble with the disk is in the book; the memory full as well: %s',
  (givenUp) => {
    const codes = ['ENOSPC', 'ENOENT', 'EROFS', 'EACCES', 'EIO', 'ETIMEDOUT', 'EUNHEARD'];
    for (const code of codes)
      expect(found(writingTrouble({ code }, '/home/potter', givenUp)), code).toMatch(/^(• ?)+$/);
  },
);

it.each(SOURCES)('every sentence of %s is in the book', (path) => {
  const source = readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8').replace(
    /\/\*[\s\S]*?\*\/|\/\/.*/g,
    '',
  );
  const texts = [...source.matchAll(/'((?:[^'\\\n]|\\.)+)'|"((?:[^"\\\n]|\\.)+)"|`((?:[^`\\]|\\.)+)`/g)]
    .map(([, single, double, template]) => single ?? double ?? template ?? '')
    .filter((text) => / /.test(text) && /[.:?]$|…$/.test(text.replace(/\$\{[^}]*\}$/, '')))
    .map((text) => filled(text).trim())
    .filter((text) => !NOT_ON_THE_PAGE.test(text));
  expect(texts.length).toBeGreaterThan(0);
  for (const text of texts) expect(found(text), text).toMatch(/^(• ?)+$/);
});
