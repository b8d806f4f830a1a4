/** A firing to take away: `GET api/firings/ID/spyhole-ID.zip`, with `?capture=1` the raw link as well. */
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { Router } from 'express';
import { type ExportOptions, zipName } from '../archive/export.ts';

/** `knows`: whether there is a firing of this name. */
export function addZipDoor(
  site: Router,
  zipOf: (id: string, options: ExportOptions) => Promise<Readable>,
  knows: (id: string) => Promise<boolean>,
): void {
  site.get('/api/firings/:id/:file', async (request, response, next) => {
    const { id, file } = request.params;
    if (id === undefined || file !== zipName(id) || !(await knows(id))) return next();
    const zip = await zipOf(id, { capture: request.query.capture === '1' });
    response.attachment(file).setHeader('Cache-Control', 'no-store');
    // What breaks off on the way is no whole zip, and the browser is to say so: nothing is sent in its place.
    await pipeline(zip, response).catch(() => response.destroy());
  });
}
