/** One sentence as a page of its own, in the language that the browser asks for: the dashboard's words are not there yet. */
import type { Response } from 'express';

const GERMAN = {
  'There is nothing at this address.': 'Unter dieser Adresse ist nichts.',
  'The address cannot be read.': 'Die Adresse ist nicht zu lesen.',
  'This could not be read from the archive: see what the collector says.':
    'Das ließ sich nicht aus dem Archiv lesen: nachsehen, was Spyhole auf dem Rechner am Ofen sagt.',
  'This code is an old one: scan the one that the collector prints now.':
    'Dieser Code ist ein alter: den scannen, den Spyhole auf dem Rechner am Ofen jetzt zeigt.',
  'Scan the code that the collector prints.': 'Den Code scannen, den Spyhole auf dem Rechner am Ofen zeigt.',
  'The collector is not known by this address: open the link that it prints.':
    'Unter dieser Adresse ist Spyhole nicht bekannt: den Link öffnen, den es auf dem Rechner am Ofen zeigt.',
  'Only the page that the collector serves may do this: open the link that it prints.':
    'Das darf nur die eigene Seite von Spyhole: den Link öffnen, den es auf dem Rechner am Ofen zeigt.',
  'Nothing here is changed in this way.': 'Auf diesem Weg wird hier nichts geändert.',
  'The width must be 100 to 10000, and from and to whole milliseconds.':
    'Die Breite muss 100 bis 10000 sein, from und to ganze Millisekunden.',
  'The curve must begin before it ends.': 'Die Kurve muss beginnen, bevor sie endet.',
  'Too many pages are open: close some.': 'Zu viele Seiten sind offen: einige schließen.',
  'There is no firing of this name.': 'Es gibt keinen Brand dieses Namens.',
} as const;

export type PlainSentence = keyof typeof GERMAN;

/** Nothing of it is kept by the browser. English where neither language is asked for. */
export function plain(response: Response, status: number, sentence: PlainSentence): void {
  const german = response.req.acceptsLanguages('en', 'de') === 'de';
  response
    .setHeader('Cache-Control', 'no-store')
    .vary('Accept-Language')
    .status(status)
    .type('html')
    .send(
      `<!doctype html><html lang="${german ? 'de' : 'en'}"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Spyhole</title><p>${german ? GERMAN[sentence] : sentence}</p></html>\n`,
    );
}
