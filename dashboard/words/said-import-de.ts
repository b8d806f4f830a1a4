/**
 * What the collector says of a firing that is taken over, and of results that are not kept, in German. Fetched by those two
 * pages alone.
 */
import type { PhraseBook } from './said.ts';

export const SAID_IMPORT_DE: PhraseBook = {
  'The columns are not set as they must be ({name}).':
    'Die Spalten sind nicht eingestellt, wie sie müssen ({name}).',
  'The address cannot be read.': 'Die Adresse ist nicht zu lesen.',
  'The file is larger than {n} MB: part it, or leave out columns.':
    'Die Datei ist größer als {n} MB: sie teilen oder Spalten weglassen.',
  'Another firing is being taken over: try again in a minute.':
    'Es wird gerade ein anderer Brand übernommen: in einer Minute noch einmal versuchen.',
  'The zip is larger than {n} MB.': 'Die Zip-Datei ist größer als {n} MB.',
  'There is no time zone {name}: give one such as Europe/Berlin.':
    'Es gibt keine Zeitzone {name}: eine angeben wie Europe/Berlin.',
  '{name} is no date and time: give one such as 2031-03-08T06:30.':
    '{name} ist nicht Datum und Uhrzeit: anzugeben wie 2031-03-08T06:30.',
  'The file has more than {n} readings: part it.': 'Die Datei hat mehr als {n} Messwerte: sie teilen.',
  'No row has a time and a temperature as they are set: look at the columns again.':
    'Keine Zeile hat Zeit und Temperatur, wie sie eingestellt sind: die Spalten noch einmal ansehen.',
  '{name} cannot be written.': '{name} lässt sich nicht schreiben.',
  'This zip holds no firing of Spyhole: it needs readings.csv and plan.json, as Spyhole writes them.':
    'In dieser Zip-Datei ist kein Brand von Spyhole: nötig sind readings.csv und plan.json, wie Spyhole sie schreibt.',
  'The plan.json in this zip cannot be read.': 'Die plan.json in dieser Zip-Datei ist nicht zu lesen.',
  'This zip holds more than one firing: take them over one by one.':
    'In dieser Zip-Datei ist mehr als ein Brand: einen nach dem andern übernehmen.',
  '{path} in this zip is too large.': '{path} in dieser Zip-Datei ist zu groß.',
  '{n} rows of readings.csv cannot be read: they stand in the file, and are not shown.':
    '{n} Zeilen von readings.csv sind nicht zu lesen: sie stehen in der Datei und werden nicht gezeigt.',

  'Somebody else has changed the results meanwhile: both are laid together, look them through.':
    'Inzwischen hat jemand anderes die Ergebnisse geändert: beide sind zusammengelegt, bitte durchsehen.',
  'The results cannot be read, or are too long: they are not kept.':
    'Die Ergebnisse sind nicht zu lesen oder zu lang: sie sind nicht gespeichert.',
  'The results are not kept: {name}.': 'Die Ergebnisse sind nicht gespeichert: {name}.',
  'There is no firing of this name.': 'Einen Brand dieses Namens gibt es nicht.',
  '{path} cannot be read: its lines or quotes do not match; mend it or move it away.':
    '{path} ist nicht zu lesen: Zeilen oder Anführungszeichen passen nicht; sie richten oder weglegen.',
  '{path} cannot be read ({name}): mend it or move it away.':
    '{path} ist nicht zu lesen ({name}): sie richten oder weglegen.',

  // The note that a firing taken over begins with
  'Taken over from {name}.': 'Übernommen aus {name}.',
  'Which couple it was is not known ({name}): the temperatures are taken as they stand, and are not corrected.':
    'Welches Thermoelement es war, ist nicht bekannt ({name}): die Temperaturen gelten, wie sie dastehen, und sind nicht berichtigt.',
};
