/** RFC 3339 in UTC with milliseconds: the one way a time is written in captures, archives and messages. */

const RFC3339_UTC_MS = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$/;

/** Epoch milliseconds (whole) to `2031-03-08T05:00:00.000Z`. Throws RangeError outside the years 0000 to 9999. */
export function formatTime(epochMs: number): string {
  return new Date(epochMs).toISOString();
}

/** `2031-03-08T05:00:00.000Z` to epoch milliseconds; null if the text is not exactly of that form. */
export function parseTime(text: string): number | null {
  if (!RFC3339_UTC_MS.test(text)) return null;
  const ms = Date.parse(text);
  return Number.isNaN(ms) || formatTime(ms) !== text ? null : ms;
}
