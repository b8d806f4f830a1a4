/**
 * What the collector says of links, disk, entries and ways, in German: ports, Bluetooth, a browser that reads the board,
 * trouble with the disk, what it refuses, and its own notes in the log book. `tests/page/said.test.ts` holds it to all of them.
 */
import type { PhraseBook } from './said.ts';

export const SAID_LINKS_DE: PhraseBook = {
  // A board at a port
  'Looking for the board.': 'Die Platine wird gesucht.',
  'Opening {path}.': '{path} wird geöffnet.',
  '{path} is open.': '{path} ist offen.',
  'Nothing came from {path}: opening it again.': 'Von {path} kam nichts: es wird neu geöffnet.',
  '{path} does not open yet: unplug the board and plug it in again.':
    '{path} geht noch nicht auf: die Platine ausstecken und wieder einstecken.',
  'The connection to {path} broke off: check the cable; Spyhole tries again by itself.':
    'Die Verbindung zu {path} ist abgerissen: nach dem Kabel sehen; Spyhole versucht es von selbst wieder.',
  '{path} is open, but takes nothing from us: a lamp or buzzer on the board stays silent.':
    '{path} ist offen, nimmt aber nichts an: Lampe und Summer der Platine bleiben stumm.',
  "What comes from {path} is no text: the speed is likely wrong; it is {n} baud now, give the board's own with --baud.":
    'Was von {path} kommt, ist kein Text: wohl die falsche Geschwindigkeit; jetzt sind es {n} Baud, die der Platine mit --baud angeben.',
  'The board known as {name} is open at {path}; it may be plugged in at any socket.':
    'Die Platine {name} ist offen an {path}; sie darf in jeder Buchse stecken.',
  'The board known as {name} is open at {path} (it was {path2}); it may be plugged in at any socket.':
    'Die Platine {name} ist offen an {path} (vorher {path2}); sie darf in jeder Buchse stecken.',
  'You may not use {path}: until it is plugged in again, this lets you: {name}':
    '{path} ist für diesen Benutzer gesperrt: bis zum nächsten Einstecken hilft: {name}',
  'You may not use {path} yet: you are in the group {name}, which counts once you have logged out and in again.':
    '{path} ist noch gesperrt: die Gruppe {name} gilt erst nach dem Abmelden und neuen Anmelden.',
  'You may not use {path}: add yourself to the group {name}: {name2}, then log out and in again.':
    '{path} ist für diesen Benutzer gesperrt: in die Gruppe {name} eintragen: {name2}, dann ab- und wieder anmelden.',
  '{path} was unplugged: plug the board in again, and Spyhole goes on by itself.':
    '{path} wurde ausgesteckt: die Platine wieder einstecken, dann macht Spyhole von selbst weiter.',
  "There is no port {path}: plug the board in, or see with '{name}' which ports there are.":
    'Es gibt keinen Anschluss {path}: die Platine einstecken, oder mit „{name}“ sehen, welche es gibt.',
  "{path} is a folder and no serial port: see with '{name}' which ports there are.":
    '{path} ist ein Ordner und kein serieller Anschluss: mit „{name}“ sehen, welche es gibt.',
  "{path} is no serial port: see with '{name}' which ports there are.":
    '{path} ist kein serieller Anschluss: mit „{name}“ sehen, welche es gibt.',
  'Another program has {path} open: close it (a serial monitor, or a second Spyhole), and Spyhole goes on by itself.':
    'Ein anderes Programm hält {path} offen: es schließen (ein serieller Monitor oder ein zweites Spyhole), dann macht Spyhole von selbst weiter.',
  'The board at {path} does not answer over Bluetooth: switch it on, or bring it nearer.':
    'Die Platine an {path} antwortet nicht über Bluetooth: einschalten oder näher heranbringen.',
  "{path} does not take this speed: give the board's own with --baud, as 115200.":
    '{path} nimmt diese Geschwindigkeit nicht: die der Platine mit --baud angeben, etwa 115200.',
  '{path} cannot be opened ({name}): unplug the board and plug it in again.':
    '{path} lässt sich nicht öffnen ({name}): die Platine ausstecken und wieder einstecken.',
  'There is no link {name}.': 'Es gibt keine Verbindung {name}.',
  'No board is connected: nothing lights up.': 'Keine Platine ist verbunden: nichts leuchtet auf.',
  'The port is open, but the board says nothing. Look at its supply and its cable.':
    'Der Anschluss ist offen, aber die Platine sagt nichts. Nach Strom und Kabel sehen.',
  'The board is heard.': 'Die Platine ist zu hören.',

  // Bluetooth
  'Looking for {name} over Bluetooth.': '{name} wird über Bluetooth gesucht.',
  'Nothing came from {name}: connecting it again.': 'Von {name} kam nichts: es wird neu verbunden.',
  '{name} does not answer over Bluetooth: switch it off and on.':
    '{name} antwortet nicht über Bluetooth: aus- und einschalten.',
  '{name} is connected, but takes nothing from us: a lamp or buzzer on the board stays silent.':
    '{name} ist verbunden, nimmt aber nichts an: Lampe und Summer der Platine bleiben stumm.',
  '{name} is connected over Bluetooth.': '{name} ist über Bluetooth verbunden.',
  '{name} is out of reach: bring it nearer, or look at its supply; Spyhole tries again by itself.':
    '{name} ist außer Reichweite: näher heranbringen oder nach dem Strom sehen; Spyhole versucht es von selbst wieder.',
  "Bluetooth low energy needs a library that is not there: run 'npm start -- setup-bluetooth' once, and start again.":
    'Für Bluetooth Low Energy fehlt noch ein Baustein: einmal „npm start -- setup-bluetooth“ laufen lassen und neu starten.',
  "The Bluetooth library cannot be loaded ({name}): run 'npm start -- setup-bluetooth' again.":
    'Der Baustein für Bluetooth lässt sich nicht laden ({name}): „npm start -- setup-bluetooth“ noch einmal laufen lassen.',
  'This terminal may not use Bluetooth: allow it in System Settings, Privacy & Security, Bluetooth, and start it anew.':
    'Dieses Terminal darf Bluetooth nicht benutzen: in den Systemeinstellungen unter Datenschutz & Sicherheit, Bluetooth erlauben und neu starten.',
  'Spyhole may not use Bluetooth: allow it in Settings, Privacy, Radios.':
    'Spyhole darf Bluetooth nicht benutzen: in den Einstellungen unter Datenschutz, Funk erlauben.',
  'You may not use Bluetooth: add yourself to the group bluetooth: sudo usermod -a -G bluetooth NAME, then log out and in again.':
    'Bluetooth ist für diesen Benutzer gesperrt: in die Gruppe bluetooth eintragen: sudo usermod -a -G bluetooth NAME, dann ab- und wieder anmelden.',
  'This computer has no Bluetooth that Spyhole can use: plug in an adapter that does low energy, and Spyhole goes on by itself.':
    'Dieser Rechner hat kein Bluetooth, das Spyhole brauchen kann: einen Stick einstecken, der Low Energy kann, dann macht Spyhole von selbst weiter.',
  'Bluetooth is switched off on this computer: switch it on, and Spyhole goes on by itself.':
    'Bluetooth ist an diesem Rechner ausgeschaltet: einschalten, dann macht Spyhole von selbst weiter.',
  'Nothing called {name} is heard over Bluetooth: switch the board on, or bring it nearer, and Spyhole goes on by itself.':
    'Über Bluetooth ist nichts namens {name} zu hören: die Platine einschalten oder näher heranbringen, dann macht Spyhole von selbst weiter.',
  '{name} does not offer the service {name2}: give its own with --ble-service.':
    '{name} bietet den Dienst {name2} nicht an: den eigenen mit --ble-service angeben.',
  '{name} has nothing to listen to at {name2}: give its own with --ble-notify.':
    'Bei {name} ist an {name2} nichts zu hören: die eigene Stelle mit --ble-notify angeben.',
  '{name} has nothing to write to at {name2}: give its own with --ble-write.':
    'Bei {name} ist an {name2} nichts zu schreiben: die eigene Stelle mit --ble-write angeben.',
  '{name} was heard but not reached ({name2}): bring it nearer, or switch it off and on.':
    '{name} war zu hören, aber nicht zu erreichen ({name2}): näher heranbringen oder aus- und einschalten.',

  // A browser that reads the board, a capture, the demo
  'No browser reads the board yet: open this page on the computer or phone that the board is plugged into, and there, under This page, tap Read the board here.':
    'Noch liest kein Browser die Platine: diese Seite an dem Rechner oder Handy öffnen, an dem die Platine steckt, und dort unter „Diese Seite“ auf „Die Platine hier lesen“ tippen.',
  "The kiln's computer reads its board itself.": 'Der Rechner am Ofen liest seine Platine selbst.',
  'For a browser to read it, start it with {name}.': 'Damit ein Browser sie liest, so starten: {name}.',
  'The board is read by {name}.': 'Die Platine liest {name}.',
  'The board is read by {name} already: let go of it there first.':
    'Die Platine liest schon {name}: sie zuerst dort loslassen.',
  "{name} opens the board's port.": '{name} öffnet den Anschluss der Platine.',
  'The board is not heard by {name}: check its cable.':
    '{name} hört die Platine nicht: nach dem Kabel sehen.',
  'The collector has been stopped.': 'Spyhole wurde am Rechner beendet.',
  "What {name} reads is no text: the speed is likely wrong; it is {n} baud now, give the board's own with --baud.":
    'Was {name} liest, ist kein Text: wohl die falsche Geschwindigkeit; jetzt sind es {n} Baud, die der Platine mit --baud angeben.',
  'Nothing came from the board that {name} reads: its port is opened again.':
    'Von der Platine, die {name} liest, kam nichts: ihr Anschluss wird neu geöffnet.',
  'Playing {name}.': '{name} wird abgespielt.',
  '{name} has been played to its end.': '{name} ist zu Ende gespielt.',
  "{name} is a capture of another version: this Spyhole reads '{name2}'.":
    '{name} ist eine Aufzeichnung anderer Fassung: dieses Spyhole liest „{name2}“.',
  "{name} is no capture: its first line must be '{name2}'.":
    '{name} ist keine Aufzeichnung: die erste Zeile muss „{name2}“ sein.',
  'There is no file {name}.': 'Es gibt keine Datei {name}.',
  '{name} is a folder and no capture: give a file in it.':
    '{name} ist ein Ordner und keine Aufzeichnung: eine Datei darin nennen.',
  'You may not read {name}: ask whoever it belongs to.':
    '{name} darf hier nicht gelesen werden: fragen, wem es gehört.',
  '{name} cannot be read any further ({name2}).': '{name} lässt sich nicht weiter lesen ({name2}).',
  '{name} is a capture with nothing in it.': '{name} ist eine leere Aufzeichnung.',
  'The demo kiln is at work: nothing here is real.': 'Der Ofen zum Vorführen brennt: nichts hier ist echt.',
  'The demo kiln has been fired, cooled and opened: start it again to fire another.':
    'Der Ofen zum Vorführen ist gebrannt, abgekühlt und geöffnet: für einen neuen Brand neu starten.',

  // The disk
  'The disk is full: readings are kept in memory for now.':
    'Die Platte ist voll: die Messwerte bleiben vorerst im Speicher.',
  'The disk is full and the memory too: the newest readings are given up.':
    'Die Platte ist voll und der Speicher auch: die neuesten Messwerte gehen verloren.',
  'Free some space.': 'Platz schaffen.',
  "The firing's folder is gone: readings are kept in memory for now.":
    'Der Ordner des Brandes ist weg: die Messwerte bleiben vorerst im Speicher.',
  "The firing's folder is gone and the memory too: the newest readings are given up.":
    'Der Ordner des Brandes ist weg und der Speicher voll: die neuesten Messwerte gehen verloren.',
  'Put it back, or make an empty folder there: {path}':
    'Ihn zurücklegen oder dort einen leeren anlegen: {path}',
  'The disk can only be read: readings are kept in memory for now.':
    'Die Platte lässt sich nur lesen: die Messwerte bleiben vorerst im Speicher.',
  'The disk can only be read and the memory too: the newest readings are given up.':
    'Die Platte lässt sich nur lesen und der Speicher ist voll: die neuesten Messwerte gehen verloren.',
  'Unlock it or put in another one.': 'Sie entsperren oder eine andere einlegen.',
  'Writing is not allowed in {name}: readings are kept in memory for now.':
    'In {name} darf nicht geschrieben werden: die Messwerte bleiben vorerst im Speicher.',
  'Writing is not allowed in {name} and the memory too: the newest readings are given up.':
    'In {name} darf nicht geschrieben werden und der Speicher ist voll: die neuesten Messwerte gehen verloren.',
  'Close any other program that has its files open, and see to it that this user may write there.':
    'Andere Programme schließen, die dort Dateien offen halten, und dafür sorgen, dass dieser Benutzer dort schreiben darf.',
  'The disk is failing or was taken out: readings are kept in memory for now.':
    'Die Platte ist schadhaft oder wurde herausgenommen: die Messwerte bleiben vorerst im Speicher.',
  'The disk is failing or was taken out and the memory too: the newest readings are given up.':
    'Die Platte ist schadhaft oder wurde herausgenommen und der Speicher ist voll: die neuesten Messwerte gehen verloren.',
  'See to its plug, and copy the firing to another disk soon.':
    'Nach ihrem Stecker sehen und den Brand bald auf eine andere Platte kopieren.',
  'The disk does not answer: readings are kept in memory for now.':
    'Die Platte antwortet nicht: die Messwerte bleiben vorerst im Speicher.',
  'The disk does not answer and the memory too: the newest readings are given up.':
    'Die Platte antwortet nicht und der Speicher ist voll: die neuesten Messwerte gehen verloren.',
  'See to its plug or its network.': 'Nach ihrem Stecker oder ihrem Netz sehen.',
  'The disk takes nothing ({name}): readings are kept in memory for now.':
    'Die Platte nimmt nichts an ({name}): die Messwerte bleiben vorerst im Speicher.',
  'The disk takes nothing ({name}) and the memory too: the newest readings are given up.':
    'Die Platte nimmt nichts an ({name}) und der Speicher ist voll: die neuesten Messwerte gehen verloren.',
  'See to the disk of {name}': 'Nach der Platte von {name} sehen',

  // What is refused
  'This entry cannot be read: it has no short word for what was done, or too much in it.':
    'Dieser Eintrag ist nicht zu lesen: das kurze Wort für das Getane fehlt, oder es steht zu viel darin.',
  "This entry is not whole: '{name}' lacks something, or holds what cannot be.":
    'Dieser Eintrag ist nicht vollständig: bei „{name}“ fehlt etwas, oder es steht darin, was nicht sein kann.',
  'There is no such entry to take back.': 'Diesen Eintrag gibt es nicht, er lässt sich nicht zurücknehmen.',
  'The entry that was to be mended has been taken back.':
    'Der Eintrag, der zu berichtigen war, ist zurückgenommen.',
  "A '{name}' cannot be mended into a '{name2}'.": 'Aus „{name}“ lässt sich kein „{name2}“ machen.',
  'The collector is being stopped: log this again once it is back.':
    'Spyhole wird am Rechner gerade beendet: dies noch einmal eintragen, wenn es wieder läuft.',
  'The collector is still starting.': 'Spyhole läuft am Rechner gerade erst an.',
  'This page is old: load it again.': 'Diese Seite ist alt: neu laden.',
  'Too many entries at once: wait a few seconds and send it again.':
    'Zu viele Einträge auf einmal: ein paar Sekunden warten und noch einmal senden.',
  'The entry was not written down: {name}. Send it again.':
    'Der Eintrag ist nicht aufgeschrieben: {name}. Noch einmal senden.',
  'The message could not be read: {name}.': 'Die Nachricht war nicht zu lesen: {name}.',
  "Only the collector itself writes '{name}' in the log book.":
    '„{name}“ schreibt nur Spyhole selbst ins Brandbuch.',
  'A fault in Spyhole itself ({name}): what it struck was left out, and the watch goes on.':
    'Ein Fehler in Spyhole selbst ({name}): was er traf, ist ausgelassen, und die Wache geht weiter.',

  // Its own notes in the log book
  'The board {name} has started anew.': 'Die Platine {name} ist neu angelaufen.',
  'The board {name} has started anew once more: look at its supply and its cable.':
    'Die Platine {name} ist noch einmal neu angelaufen: nach Strom und Kabel sehen.',
  'The board {name} has started anew {n} times more: look at its supply and its cable.':
    'Die Platine {name} ist noch {n} Mal neu angelaufen: nach Strom und Kabel sehen.',
  'Of board {name} one more reading is gone: {n}.': 'Von Platine {name} fehlt noch ein Messwert: {n}.',
  'Of board {name} {n} more readings are gone, the last of them {n2}.':
    'Von Platine {name} fehlen {n} weitere Messwerte, der letzte davon {n2}.',
  'The board {name} says that it reads every {n} ms, and reads every {n2} ms: it is taken by what it does. Mend the period in its sketch.':
    'Die Platine {name} sagt, sie messe alle {n} ms, und misst alle {n2} ms: es gilt, was sie tut. Den Takt in ihrem Sketch richten.',
  'The board {name} has changed its pace once more.':
    'Die Platine {name} hat ihren Takt noch einmal geändert.',
  'The board {name} has changed its pace {n} times more.':
    'Die Platine {name} hat ihren Takt noch {n} Mal geändert.',
  "By the board's own clock it is {short} later than this computer's clock says, which was set back while Spyhole was not running: the firing goes on by the board's.":
    'Nach der Uhr der Platine ist es {short} später als nach der Uhr dieses Rechners, die zurückgestellt wurde, während Spyhole nicht lief: der Brand geht nach der Platine weiter.',
  "The computer's clock was behind the boards' once more.":
    'Die Uhr des Rechners ging noch einmal hinter der Platine her.',
  "The computer's clock was behind the boards' {n} times more.":
    'Die Uhr des Rechners ging noch {n} Mal hinter der Platine her.',
  'Two boards call themselves {name}, at {name2} and {name3}: the one at {name4} is not listened to until it has a name of its own.':
    'Zwei Platinen nennen sich {name}, an {name2} und {name3}: die an {name4} bleibt ungehört, bis sie einen eigenen Namen hat.',
  'There are still two boards that call themselves {name}: give one of them another name.':
    'Noch immer nennen sich zwei Platinen {name}: einer davon einen anderen Namen geben.',
  'Several boards speak on one wire ({name}) and talk into one another: give each a port of its own.':
    'Mehrere Platinen sprechen auf einer Leitung ({name}) und reden ineinander: jeder einen eigenen Anschluss geben.',
  'Several boards speak on the one wire at {path} ({name}) and talk into one another: give each a port of its own.':
    'Mehrere Platinen sprechen auf der einen Leitung an {path} ({name}) und reden ineinander: jeder einen eigenen Anschluss geben.',
  'The boards {name} still share one wire: give each a port of its own.':
    'Die Platinen {name} teilen sich noch immer eine Leitung: jeder einen eigenen Anschluss geben.',
  'Reading {n} of board {name} is gone: it keeps it no longer.':
    'Messwert {n} von Platine {name} ist verloren: sie behält ihn nicht mehr.',
  'Readings {n} to {n2} of board {name} are gone: it keeps them no longer.':
    'Messwerte {n} bis {n2} von Platine {name} sind verloren: sie behält sie nicht mehr.',
  "This computer's clock was set back by {short}: the times of this firing go on as before.":
    'Die Uhr dieses Rechners wurde um {short} zurückgestellt: die Zeiten dieses Brandes laufen weiter wie zuvor.',
  "This computer's clock was set forward by {short}: the times of this firing go on as before.":
    'Die Uhr dieses Rechners wurde um {short} vorgestellt: die Zeiten dieses Brandes laufen weiter wie zuvor.',
  'Button {n} was pressed; the plan gives it no meaning.':
    'Knopf {n} wurde gedrückt; der Plan gibt ihm keine Bedeutung.',
  '{n} rows of {name} cannot be read and were left out.':
    '{n} Zeilen von {name} sind nicht zu lesen und wurden ausgelassen.',
  'The archive of {name} has rows that cannot be read; they are left out.':
    'Von {name} sind Zeilen nicht zu lesen; sie sind ausgelassen.',
  'The first:': 'Die erste:',
  '{path} cannot be read from here on ({name}): see to the disk.':
    '{path} ist von hier an nicht zu lesen ({name}): nach der Platte sehen.',

  // How one is called, and whether it reached
  'A demo or a played capture does not sound over this computer, unless {name} says so.':
    'Ein Brand zum Vorführen oder eine abgespielte Aufzeichnung tönt nicht über diesen Rechner, es sei denn, {name} sagt es.',
  'The collector hears this page.': 'Der Rechner am Ofen hört diese Seite.',
  'The board was told to call for 3 seconds. It does not answer: look at it, and listen.':
    'Die Platine soll 3 Sekunden lang rufen. Sie antwortet nicht: hinsehen und hinhören.',
  'This collector has no ways to call but its page and its lamp.':
    'Dieser Rechner kann nur über die Seite und die Lampe rufen.',
  'It sounds already.': 'Es tönt schon.',
  '{name} has played it. Whether the loudspeaker is turned up, only ears can tell.':
    '{name} hat es abgespielt. Ob der Lautsprecher aufgedreht ist, wissen nur die Ohren.',
  '{name} could not play it: {name2}.': '{name} konnte es nicht abspielen: {name2}.',
  'The tone could not be played: {name}.': 'Der Signalton ließ sich nicht abspielen: {name}.',
  'No program that plays a tone is known for this system: name one in ways.json.':
    'Für dieses System ist kein Programm bekannt, das ein Signal abspielt: eines nennen in ways.json.',
  'This computer has no program that plays a tone ({name}).':
    'Dieser Rechner hat kein Programm, das ein Signal abspielt ({name}).',
  "The terminal's bell was rung. Many terminals are mute: listen.":
    'Die Glocke des Terminals wurde geläutet. Viele Terminals sind stumm: hinhören.',
  '{name} has taken the mail to {name2}.': '{name} hat die Mail an {name2} angenommen.',
  '{name} takes no mail to {name2}.': '{name} nimmt keine Mail an {name2} an.',
  '{name} has not taken the mail: {name2}.': '{name} hat die Mail nicht angenommen: {name2}.',
  'The broker {name} is not reached: {name2}.': 'Der Broker {name} ist nicht zu erreichen: {name2}.',
  'The broker {name} has taken it, under {name2}/test.':
    'Der Broker {name} hat es angenommen, unter {name2}/test.',
  'It is told once it is.': 'Es wird gesagt, sobald er es ist.',
  'The broker {name} has taken it.': 'Der Broker {name} hat es angenommen.',
  'The broker {name} has not taken it: {name2}.': 'Der Broker {name} hat es nicht angenommen: {name2}.',
  '{path} has taken it.': '{path} hat es angenommen.',
  "{path} sends on to another address: set that one as the webhook's url.":
    '{path} schickt an eine andere Adresse weiter: diese als url des Webhooks einstellen.',
  '{path} answers {n}.': '{path} antwortet mit {n}.',
  '{path} is not reached: {name}. Push needs the internet.':
    '{path} ist nicht zu erreichen: {name}. Mitteilungen brauchen das Internet.',
  '{path} is not reached: {name}.': '{path} ist nicht zu erreichen: {name}.',
  'Too many wait for {path} already.': 'Es warten schon zu viele auf {path}.',
  '{n} of {n2} phones.': '{n} von {n2} Handys.',
  'No phone has asked for push.': 'Kein Handy hat um Mitteilungen gebeten.',
  'No phone has said that it has shown it: one outside this network cannot say so. Look at it.':
    'Kein Handy hat gesagt, dass es sie gezeigt hat: eines außerhalb dieses Netzes kann es nicht sagen. Hinsehen.',
  '{n} has shown it.': '{n} hat sie gezeigt.',
  '{n} have shown it.': '{n} haben sie gezeigt.',
  'A phone has taken its subscription back, and is taken out.':
    'Ein Handy hat seine Anmeldung zurückgenommen und wird ausgetragen.',
  'A push service is only called over HTTPS.': 'Ein Dienst für Mitteilungen wird nur über HTTPS gerufen.',
  'A push service lies in the internet, not in this network.':
    'Ein Dienst für Mitteilungen liegt im Internet, nicht in diesem Netz.',
  'There are {n} phones already: take push off one that is not used any more.':
    'Es sind schon {n} Handys: die Mitteilungen an einem abschalten, das nicht mehr gebraucht wird.',
  'The phone cannot be remembered in {name} ({name2}).':
    'Das Handy lässt sich in {name} nicht merken ({name2}).',
};
