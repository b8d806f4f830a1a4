/** Pictures of pages, small enough that letters blur and only the layout is left, held against those that were kept. */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import pixelmatch from 'pixelmatch';
import { PNG } from 'pngjs';

/** A side of so many pixels becomes one. */
const SHRINK = 6;
/** How far a colour may be off before a pixel counts as another one; of 0 to 1, by the library's measure. */
const COLOUR_THRESHOLD = 0.2;

/** The mean of each square of `SHRINK` pixels a side. */
function shrunk(picture: PNG): PNG {
  const small = new PNG({
    width: Math.floor(picture.width / SHRINK),
    height: Math.floor(picture.height / SHRINK),
  });
  for (let y = 0; y < small.height; y += 1)
    for (let x = 0; x < small.width; x += 1)
      for (let channel = 0; channel < 4; channel += 1) {
        let sum = 0;
        for (let dy = 0; dy < SHRINK; dy += 1)
          for (let dx = 0; dx < SHRINK; dx += 1)
            sum += picture.data[4 * ((y * SHRINK + dy) * picture.width + x * SHRINK + dx) + channel] ?? 0;
        small.data[4 * (y * small.width + x) + channel] = Math.round(sum / SHRINK ** 2);
      }
  return small;
}

/** The part of the picture that is unlike the kept one, 0 to 1; a picture of another size is unlike altogether. */
export function unlike(screenshot: Buffer, kept: string): number {
  const now = shrunk(PNG.sync.read(screenshot));
  const then = PNG.sync.read(readFileSync(kept));
  if (now.width !== then.width || now.height !== then.height) return 1;
  const count = pixelmatch(now.data, then.data, undefined, now.width, now.height, {
    threshold: COLOUR_THRESHOLD,
    includeAA: true,
  });
  return count / (now.width * now.height);
}

/** Keeps the picture in place of the old one. */
export function keep(screenshot: Buffer, file: string): void {
  if (!existsSync(dirname(file))) mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, PNG.sync.write(shrunk(PNG.sync.read(screenshot))));
}
