/** The columns of readings.csv and log.csv: names in order, meaning and units. RFC 4180, UTF-8, a header line, CRLF. */
import { STAGES } from './stages.ts';

/** Words of the `flags` column. */
export const READING_FLAGS = ['open', 'short', 'range', 'stuck', 'spike', 'drift', 'pulled'] as const;

/** A unit as people write it, and its code in UN/CEFACT Recommendation 20. */
interface Unit {
  text: string;
  code: string;
}
const CELSIUS: Unit = { text: '°C', code: 'CEL' };
const CELSIUS_PER_HOUR: Unit = { text: '°C/h', code: 'H12' };
const MILLISECOND: Unit = { text: 'ms', code: 'C26' };

/** A datatype of CSV on the Web: a built-in one, or one with a format. */
type Datatype = string | { base: string; format: string };

export interface Column {
  name: string;
  about: string;
  datatype: Datatype;
  /** Never empty. */
  required: boolean;
  unit?: Unit;
  /** The cell is a list, parted by this. */
  separator?: string;
}

const oneOf = (words: readonly string[]): Datatype => ({ base: 'string', format: words.join('|') });

export const READING_COLUMNS: readonly Column[] = [
  {
    name: 'arrival',
    about: 'Counts the rows of this file from 0, in the order in which the readings arrived.',
    datatype: 'nonNegativeInteger',
    required: true,
  },
  {
    name: 'time',
    about:
      'When the reading was taken, steadied, in UTC. A late reading stands where it arrived: sort by this column.',
    datatype: 'dateTimeStamp',
    required: true,
  },
  { name: 'board', about: 'The board that took it.', datatype: 'string', required: true },
  {
    name: 'boot',
    about: 'A new one each time the board starts.',
    datatype: 'string',
    required: true,
  },
  {
    name: 'seq',
    about: "Counts the board's readings from 0 at its start; 32 bits.",
    datatype: 'unsignedInt',
    required: true,
  },
  {
    name: 'uptime_ms',
    about: "The board's own clock since its start; 32 bits.",
    datatype: 'unsignedInt',
    required: true,
    unit: MILLISECOND,
  },
  {
    name: 'cold_junction_c',
    about: 'Temperature of the reference junction (IEC 60584), as the board sent it.',
    datatype: 'double',
    required: false,
    unit: CELSIUS,
  },
  { name: 'probe', about: 'The probe by name.', datatype: 'string', required: true },
  {
    name: 'raw',
    about:
      "The board's number as it was sent, in the probe's form (the hello rows of log.csv tell which: uv is microvolts of EMF, deg is °C, lin is °C of a chip that takes the couple as linear), or its fault report: !open, !short, !range. Empty: not measured.",
    datatype: { base: 'string', format: '!open|!short|!range|-?[0-9]+(\\.[0-9]+)?(e[+-]?[0-9]+)?' },
    required: false,
  },
  {
    name: 'temp_c',
    about: 'Converted and compensated (ITS-90), before screening and smoothing.',
    datatype: 'double',
    required: false,
    unit: CELSIUS,
  },
  {
    name: 'smooth_c',
    about: 'The probe with the stoke sawtooth taken out, as known on arrival.',
    datatype: 'double',
    required: false,
    unit: CELSIUS,
  },
  {
    name: 'climb_c_per_h',
    about: 'Slope of the smoothed temperature, as known on arrival.',
    datatype: 'double',
    required: false,
    unit: CELSIUS_PER_HOUR,
  },
  {
    name: 'climb_sd_c_per_h',
    about: 'Standard uncertainty (one standard deviation) of the climb.',
    datatype: 'double',
    required: false,
    unit: CELSIUS_PER_HOUR,
  },
  {
    name: 'cone',
    about:
      "Pyrometric cone equivalent of the heat work so far, written 'cone 06' or 'cone 8.4'. Empty below cone 022.",
    datatype: { base: 'string', format: 'cone 0?[0-9]{1,2}(\\.[0-9])?' },
    required: false,
  },
  {
    name: 'stage',
    about: 'Stage of the firing, as known on arrival.',
    datatype: oneOf(STAGES),
    required: true,
  },
  {
    name: 'late',
    about: '1: arrived after later readings (it had been asked for again); 0: on time.',
    datatype: { base: 'boolean', format: '1|0' },
    required: true,
  },
  {
    name: 'flags',
    about: 'What is wrong with the reading, in words parted by spaces. Empty: nothing is.',
    datatype: oneOf(READING_FLAGS),
    required: false,
    separator: ' ',
  },
];

export const READING_KEY = ['board', 'boot', 'seq', 'probe'] as const;

export const LOG_COLUMNS: readonly Column[] = [
  {
    name: 'entry',
    about: 'Counts the rows of this file from 0.',
    datatype: 'nonNegativeInteger',
    required: true,
  },
  { name: 'at', about: 'When it happened, in UTC.', datatype: 'dateTimeStamp', required: true },
  { name: 'made_at', about: 'When it was taken in, in UTC.', datatype: 'dateTimeStamp', required: true },
  { name: 'who', about: 'Who logged it.', datatype: 'string', required: false },
  { name: 'where', about: 'From where it was logged.', datatype: 'string', required: false },
  {
    name: 'log',
    about: 'What it is, in a word: stoke, salt, note, plan, alert, hello, undo and so on.',
    datatype: 'string',
    required: true,
  },
  { name: 'json', about: 'The whole entry.', datatype: 'json', required: true },
  {
    name: 'replaces',
    about: 'The entry that this one undoes or takes the place of.',
    datatype: 'nonNegativeInteger',
    required: false,
  },
];
