/** The name of a firing's folder. */

/** Bytes of the name's part, so that date, name and number stay below the 255 bytes that file systems allow. */
const NAME_BYTES = 120;

/**
 * A firing's name as a part of a path that every system takes: letters and digits of any script in lower case, what
 * else there is as single hyphens, at most 120 bytes of UTF-8; `firing` if nothing is left.
 */
export function safeName(name: string): string {
  const words = name
    .normalize('NFC')
    .toLowerCase()
    .replace(/[^\p{L}\p{M}\p{N}]+/gu, '-')
    .replace(/^[-\p{M}]+/u, '');
  let kept = '';
  for (const letter of words) {
    if (Buffer.byteLength(kept + letter) > NAME_BYTES) break;
    kept += letter;
  }
  return kept.replace(/-+$/, '') || 'firing';
}

/** The date on the wall calendar of the computer's own time zone, `2031-03-08`. */
export function localDate(epochMs: number): string {
  const date = new Date(epochMs);
  const two = (n: number) => String(n).padStart(2, '0');
  return `${String(date.getFullYear()).padStart(4, '0')}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}
