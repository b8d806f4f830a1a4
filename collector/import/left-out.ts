/** What of a stranger's CSV was not taken as it stood, in one sentence: nothing is lost without a word. */
import type { LeftOut } from '../../protocol/imports.ts';

const rows = (count: number) => (count === 1 ? '1 row' : `${count} rows`);

/** Null where every row was taken as it stood. */
export function leftOutSentence(left: LeftOut): string | null {
  const parts = [
    left.noTime > 0 && `${rows(left.noTime)} without a time left out`,
    left.noHeat > 0 && `${rows(left.noHeat)} without a temperature left out`,
    left.doubled > 0 && `${rows(left.doubled)} with a time that was there already left out`,
    left.unsorted > 0 && `${rows(left.unsorted)} out of order put in their place`,
    left.wildHeats > 0 && `${left.wildHeats} temperatures that no kiln has left empty`,
    left.doubledHour > 0 &&
      `${rows(left.doubledHour)} of the hour that the clocks have twice taken in the order of the file`,
    left.skippedHour > 0 &&
      `${rows(left.skippedHour)} of the hour that the clocks skip taken as an hour later`,
  ].filter((part) => part !== false);
  return parts.length === 0 ? null : `${parts.join(', ')}.`;
}
