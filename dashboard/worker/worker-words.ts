/** The worker's few words and the alerts' sentences, in the language that the page speaks; all other words stay out of it. */
import { readThisPhone } from '../this-phone.ts';
import { CALLED as DE } from '../words/de.ts';
import { CALLED as EN } from '../words/en.ts';
import { language as asked } from '../words/language.ts';
import { interpreter } from '../words/said.ts';
import { SLOTS_DE } from '../words/slots-de.ts';

const CALLED = { en: EN, de: DE };

export interface WorkerWords {
  called: typeof EN;
  said(text: string): string;
}

/** As the page has left them; what the browser asks for, until there was a page. Never rejects. */
export async function workerWords(): Promise<WorkerWords> {
  const phone = await readThisPhone();
  const called = CALLED[phone?.language ?? asked];
  try {
    if (phone?.book) return { called, said: interpreter(phone.book, SLOTS_DE) };
  } catch {
    // A book of another build: English is better than no call.
  }
  return { called, said: (text) => text };
}
