/** Says plainly while nothing would be heard from this page, and mends it with one touch. */
import type { Sounder } from '../sound.ts';
import { SAY } from '../words.ts';

export function SoundButton({ sounder, onArm }: { sounder: Sounder; onArm(): void }) {
  if (sounder.armed()) return null;
  return (
    <button type="button" class="press plain sound" onClick={onArm}>
      <span>{SAY.letItSound}</span>
      <span class="press-small">{sounder.wanted() ? SAY.soundStopped : SAY.soundOff}</span>
    </button>
  );
}
