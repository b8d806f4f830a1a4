/**
 * Capture files: the raw link, written down so that it can be run again. UTF-8, extension `.capture`, a line each,
 * ended by LF; the first is the header, the others are `<UTC time> <direction> <text>`.
 *
 * Text may hold anything that came over the link, a byte each as one character (latin1). So that the file stays text
 * with one record a line, control characters but the tab are written as a visible sign and read back from it: C0 and
 * DEL as Unicode's control pictures (NUL is U+2400 `␀`, LF `␊`, CR `␍`, DEL U+2421 `␡`), the C1 controls 80 to 9F hex
 * as U+E080 to U+E09F. The JSON of an `@` line is left as it is but for line ends, which JSON has only between its words.
 */
import { formatTime, parseTime } from './times.ts';

/** The first line of a capture. */
export const CAPTURE_HEADER = 'spyhole-capture 1';

/** `<` board to collector, `>` collector to board, `#` a comment, `@` what a person logged or the collector was told. */
export type CaptureDirection = '<' | '>' | '#' | '@';

export interface CaptureLine {
  /** Epoch ms, whole. */
  at: number;
  direction: CaptureDirection;
  /** The link's name, or '' for the only link. Always '' with `#` and `@`. */
  link: string;
  text: string;
}

const TIME_CHARS = 24;
const RECORD = /^ (?:([<>])(\S*)|([#@]))(?: (.*))?$/s;
const LINK_NAME = /^\S*$/;

/** Controls but the tab: what is neither printable ASCII nor beyond the C1 controls. */
const CONTROLS = /[^\t -~\u00a0-\uffff]/g;
const SIGNS = /[\u2400-\u2408\u240a-\u241f\u2421\ue080-\ue09f]/g;

/** True for the first line of a capture, a byte order mark before it and a CR behind it let pass. */
export function isCaptureHeader(text: string): boolean {
  return text.replace(/^\ufeff/, '').replace(/\r$/, '') === CAPTURE_HEADER;
}

/** One record of a capture, its LF dropped (a CR before it is dropped here); null if it is none. */
export function parseCaptureLine(line: string): CaptureLine | null {
  const whole = line.endsWith('\r') ? line.slice(0, -1) : line;
  const at = parseTime(whole.slice(0, TIME_CHARS));
  const record = RECORD.exec(whole.slice(TIME_CHARS));
  if (at === null || record === null) return null;
  const [, way, link = '', mark, text = ''] = record;
  const direction = (way ?? mark) as CaptureDirection;
  return { at, direction, link, text: direction === '@' ? text : text.replace(SIGNS, controlOf) };
}

/**
 * The line for a record, without LF. Throws RangeError for a time outside the years 0000 to 9999 and for a link's name
 * that holds a space.
 */
export function formatCaptureLine({ at, direction, link, text }: CaptureLine): string {
  const named = direction === '<' || direction === '>' ? link : '';
  if (!LINK_NAME.test(named)) throw new RangeError(`not the name of a link: ${JSON.stringify(named)}`);
  const written = direction === '@' ? text.replace(/[\r\n]/g, ' ') : text.replace(CONTROLS, signOf);
  return `${formatTime(at)} ${direction}${named} ${written}`;
}

function signOf(control: string): string {
  const code = control.charCodeAt(0);
  if (code === 0x7f) return '\u2421';
  return String.fromCharCode(code < 0x20 ? 0x2400 + code : 0xe000 + code);
}

function controlOf(sign: string): string {
  const code = sign.charCodeAt(0);
  if (code === 0x2421) return '\x7f';
  return String.fromCharCode(code < 0x2421 ? code - 0x2400 : code - 0xe000);
}
