/** How far a large file is: read, then reckoned. Seen as it goes, and said every few seconds. */
import type { Progress } from '../import/send.ts';
import { sayDecimal } from '../say.ts';
import { IMPORT, LOCALE } from '../words.ts';
import { useFollowed } from './hooks.ts';

const MB = 1024 * 1024;
/** A listener needs as long for one. */
const SPEAK_EVERY_MS = 5000;

function words({ of, done, all }: Progress): string {
  return of === 'bytes'
    ? IMPORT.bytesRead(sayDecimal(done / MB, 1), sayDecimal(all / MB, 1))
    : IMPORT.rowsTaken(done.toLocaleString(LOCALE), all.toLocaleString(LOCALE));
}

export function ImportProgress({ progress }: { progress: Progress }) {
  const text = words(progress);
  const aloud = useFollowed(text, SPEAK_EVERY_MS);
  return (
    <div class="import-progress">
      <progress aria-label={IMPORT.progress} value={progress.done} max={Math.max(1, progress.all)} />
      <p aria-hidden="true">{text}</p>
      <div class="unseen" role="status">
        {aloud}
      </div>
    </div>
  );
}
