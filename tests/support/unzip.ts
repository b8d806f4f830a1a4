/** The files of a zip, read by a library that knows nothing of Spyhole. */
import { buffer } from 'node:stream/consumers';
import { fromBufferPromise } from 'yauzl';

export async function unzip(bytes: Buffer): Promise<Map<string, Buffer>> {
  const zip = await fromBufferPromise(bytes);
  const files = new Map<string, Buffer>();
  for await (const entry of zip.eachEntry()) {
    files.set(entry.fileName, await buffer(await zip.openReadStreamPromise(entry)));
  }
  return files;
}
