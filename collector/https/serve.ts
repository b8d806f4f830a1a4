/** HTTPS for a collector: which certificate, and made anew while it runs when the computer's addresses change. */
import { hostname } from 'node:os';
import { type Certificate, givenCertificate, homeCertificate } from './keep.ts';

/** A phone whose address has changed is waited for no longer. */
const LOOK_EVERY_MS = 60_000;

export interface HttpsWish {
  folder: string;
  /** The user's own certificate and key; else one of the local authority. */
  given: { cert: string; key: string } | null;
  /** All names and addresses that the page may be opened by, as they stand when asked. */
  names(): Iterable<string>;
}

/** Rejects with one sentence where there is no certificate to be had. */
export function certificateFor({ folder, given, names }: HttpsWish): Promise<Certificate> {
  if (given) return givenCertificate(given.cert, given.key, Date.now());
  const [host = 'localhost'] = hostname().toLowerCase().split('.');
  return homeCertificate(folder, { host, names: [...names()] }, Date.now());
}

/** Looks now and then, and tells `renew` of another certificate; the answer ends it. `say` is told what went wrong. */
export function keepCertificate(
  wish: HttpsWish,
  first: Certificate,
  renew: (pair: Certificate) => void,
  say: (text: string) => void,
): () => void {
  let served = first.cert;
  const look = setInterval(() => {
    certificateFor(wish).then(
      (now) => {
        if (now.cert === served) return;
        served = now.cert;
        renew(now);
      },
      (cause: unknown) => say(cause instanceof Error ? cause.message : String(cause)),
    );
  }, LOOK_EVERY_MS);
  look.unref();
  return () => clearInterval(look);
}
