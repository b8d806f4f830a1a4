/** `/trust`: how a phone comes to trust the collector's certificate. Reached over plain HTTP too, since before that it trusts nothing. */
import { Router } from 'express';
import { fingerprintOf } from '../https/keep.ts';
import { trustPage } from '../https/trust-page.ts';
import { type House, refusalOf } from './doors.ts';

export interface Trust {
  /** The authority's certificate, PEM. */
  authority: string;
  securePort(): number;
}

export const TRUST_PATH = '/trust';
const AUTHORITY_PATH = '/ca.crt';

/** No other path is open without a key. */
export function isTrustPath(path: string): boolean {
  return path === TRUST_PATH || path === `${TRUST_PATH}/` || path === `${TRUST_PATH}${AUTHORITY_PATH}`;
}

export function trustSite({ authority, securePort }: Trust, house: () => House): Router {
  const site = Router();
  site.get(AUTHORITY_PATH, (_request, response) => {
    // The type of which phones take it as a certificate to install (RFC 2585 has no such): common practice, no source.
    response
      .setHeader('Cache-Control', 'no-store')
      .setHeader('Content-Disposition', 'attachment; filename="spyhole-ca.crt"')
      .type('application/x-x509-ca-cert')
      // As bytes: a text would be given a charset, which this type has not.
      .send(Buffer.from(authority));
  });
  site.get('/', (request, response) => {
    const now = house();
    const host = (request.headers.host ?? '').replace(/:\d+$/, '');
    // Whoever has the key here shall have it there: a cookie of one is none of the other.
    const paired = now.lan && refusalOf(request.headers, now, false) === null;
    const key = paired ? `?key=${now.pairingKey}` : '';
    response
      .setHeader('Cache-Control', 'no-store')
      .type('html')
      .send(trustPage(fingerprintOf(authority), `https://${host}:${securePort()}/${key}`));
  });
  return site;
}
