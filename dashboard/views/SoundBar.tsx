/** Says plainly while nothing would be heard from this page, and mends it with one touch. */
import type { Sounder } from '../sound.ts';
import { SAY } from '../words.ts';

export function SoundBar({ sounder, onArm }: { sounder: Sounder; onArm(): void }) {
  if (sounder.armed()) return null;
  return (
    <div class="sound-bar">
      <p>{sounder.wanted() ? SAY.soundStopped : SAY.soundOff}</p>
      <button type="button" class="press plain" onClick={onArm}>
        {SAY.letItSound}
      </button>
    </div>
  );
}
