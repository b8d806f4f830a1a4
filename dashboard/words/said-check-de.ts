/** What the check before lighting says, in German: sent only to whoever opens that page. */
import type { PhraseBook } from './said.ts';

export const SAID_CHECK_DE: PhraseBook = {
  // The check before lighting: the probes
  'too cold for type B to read: whether it works shows only once the kiln is hot.':
    'zu kalt für Typ B: ob er geht, zeigt sich erst im heißen Ofen.',
  'reads {heat}, steady.': 'zeigt {heat}, ruhig.',
  'reads {heat}, and went up by {heat2}: if that was your hand at its tip, its wires are right.':
    'zeigt {heat} und stieg um {heat2}: war das die Hand an der Spitze, so sind seine Drähte richtig.',
  'gave nothing {n} times in {n2} readings:': 'gab {n}-mal nichts bei {n2} Messungen:',
  'jumps about, a reading is off by some {heat}: tighten its screws, and keep its wires away from motors and mains.':
    'springt herum, ein Wert liegt um etwa {heat} daneben: Schrauben anziehen, Drähte von Motoren und Netzkabeln fernhalten.',
  'is restless, a reading is off by some {heat}: keep its wires away from motors and mains.':
    'ist unruhig, ein Wert liegt um etwa {heat} daneben: Drähte von Motoren und Netzkabeln fernhalten.',
  "reads {heat}, as far below the board's own temperature as the others are on the other side: its two wires are likely crossed. Swap them.":
    'zeigt {heat}, so weit unter der eigenen Temperatur der Platine, wie die anderen darüber liegen: seine zwei Drähte sind wohl vertauscht. Tauschen.',
  "reads {heat}, as far above the board's own temperature as the others are on the other side: its two wires are likely crossed. Swap them.":
    'zeigt {heat}, so weit über der eigenen Temperatur der Platine, wie die anderen darunter liegen: seine zwei Drähte sind wohl vertauscht. Tauschen.',
  'went down by {heat}: if you warmed its tip, its two wires are crossed. Let it rest a minute and warm it again: it must go up.':
    'fiel um {heat}: wurde die Spitze gewärmt, so sind seine zwei Drähte vertauscht. Eine Minute ruhen lassen und wieder wärmen: er muss steigen.',
  'reads {heat}, and the others about {heat2}: in a cold kiln they should agree. Look at its plug and its type.':
    'zeigt {heat}, die anderen etwa {heat2}: im kalten Ofen sollten sie gleich sein. Nach Stecker und Typ sehen.',
  'reads {heat}, much colder than the board: if the kiln is not, its two wires are crossed. Warm its tip: it must go up.':
    'zeigt {heat}, viel kälter als die Platine: ist der Ofen das nicht, so sind seine zwei Drähte vertauscht. Die Spitze wärmen: er muss steigen.',

  // The check before lighting: the board
  'Listening to the board …': 'Der Platine wird zugehört …',
  'Fit for a firing.': 'Brennbereit.',
  'Fit for a firing, but mind:': 'Brennbereit, aber beachten:',
  'Not fit yet:': 'Noch nicht brennbereit:',
  'Warm the tip of {name} in your hand, one after the other: its reading must go up. If it goes down its two wires are crossed; if another one goes up, two are swapped.':
    'Die Spitze von {name} in der Hand wärmen, eine nach der anderen: der Wert muss steigen. Fällt er, so sind die zwei Drähte vertauscht; steigt ein anderer, so sind zwei Fühler verwechselt.',
  'What the board does when its cable is pulled was not tried.':
    'Was die Platine tut, wenn ihr Kabel gezogen wird, ist nicht erprobt.',
  'Nothing has come from the board: look at its supply, its cable and its speed (--baud).':
    'Von der Platine ist nichts gekommen: nach Strom, Kabel und Geschwindigkeit (--baud) sehen.',
  'The board has not said what it is: give its speed with --baud, or with --plain what its numbers are if it just prints numbers.':
    'Die Platine hat nicht gesagt, was sie ist: mit --baud ihre Geschwindigkeit angeben, oder mit --plain, was ihre Zahlen sind, wenn sie nur Zahlen schreibt.',
  'The board is there, but has sent no reading that can be used.':
    'Die Platine ist da, hat aber keinen brauchbaren Messwert geschickt.',
  'It began anew by itself while it was listened to: look at its supply and its cable.':
    'Sie hat beim Zuhören von selbst neu angefangen: nach Strom und Kabel sehen.',
  'It does not give its own temperature, and without that its couples cannot be read: look at the sensor on the board.':
    'Sie nennt ihre eigene Temperatur nicht, und ohne die sind ihre Thermoelemente nicht abzulesen: nach dem Messchip auf der Platine sehen.',
  'It is {heat} in its box: move it away from the heat.':
    'In ihrem Kasten sind {heat}: von der Hitze wegrücken.',
  'It says that it is {heat} in its box: its own sensor is likely broken.':
    'Sie meldet {heat} in ihrem Kasten: ihr eigener Messchip ist wohl kaputt.',
  'Its own temperature went about by {heat}: keep it out of sun and draught, for its readings follow.':
    'Ihre eigene Temperatur schwankte um {heat}: vor Sonne und Zugluft schützen, denn ihre Werte schwanken mit.',
  'It is {heat} in its box, steady.': 'In ihrem Kasten sind {heat}, ruhig.',
  '{n} of {n2} lines ({decimal} %) came in broken: another cable, a shorter one, or away from motors and mains.':
    '{n} von {n2} Zeilen ({decimal} %) kamen kaputt an: ein anderes Kabel, ein kürzeres, oder weg von Motoren und Netzkabeln.',
  '{n} of {n2} lines came in broken.': '{n} von {n2} Zeilen kamen kaputt an.',
  '{n} readings never came: look at the cable and the plug.':
    '{n} Messwerte kamen nie an: nach Kabel und Stecker sehen.',
  '{n} of {n2} readings never came.': '{n} von {n2} Messwerten kamen nie an.',
  'All {n} lines came whole.': 'Alle {n} Zeilen kamen heil an.',
  'It does not hear Spyhole: it cannot be asked for what was missed, and a lamp or buzzer on it would stay dark. Look at the wire to the board and at its sketch.':
    'Sie hört Spyhole nicht: nach Versäumtem lässt sie sich nicht fragen, und Lampe oder Summer blieben stumm. Nach der Leitung zur Platine und nach ihrem Sketch sehen.',
  'It answered {n} of {n2} questions.': 'Sie hat {n} von {n2} Fragen beantwortet.',
  'It takes {span} to answer.': 'Sie braucht {span} für eine Antwort.',
  'It answers within {n} ms.': 'Sie antwortet in {n} ms.',
  'It keeps no readings: what is missed while its cable is out stays missed. Give it a sketch that keeps them.':
    'Sie behält keine Messwerte: was ohne Kabel versäumt wird, bleibt versäumt. Ihr einen Sketch geben, der sie behält.',
  'It says that it keeps {n} readings, and had lost one that it should have: mend its sketch.':
    'Sie sagt, sie behalte {n} Messwerte, und hatte einen verloren, den sie haben müsste: ihren Sketch richten.',
  'It says that it keeps {n} readings, and sends none when asked: mend its sketch.':
    'Sie sagt, sie behalte {n} Messwerte, und schickt auf Fragen keinen: ihren Sketch richten.',
  'It keeps {n} readings, {span} of them, and sends them again when asked.':
    'Sie behält {n} Messwerte aus {span} und schickt sie auf Fragen noch einmal.',
  'It just prints numbers and keeps none: what is missed while its cable is out stays missed.':
    'Sie schreibt nur Zahlen und behält keine: was ohne Kabel versäumt wird, bleibt versäumt.',
  'A cheap chip that takes type K as a straight line reads {heat} low at {heat2}: ask its maker, and go by cones.':
    'Ein billiger Chip, der Typ K für eine Gerade nimmt, zeigt bei {heat2} um {heat} zu wenig: den Hersteller fragen, und nach den Kegeln gehen.',
  'It says that it reads every {n} ms, and reads every {n2} ms: mend the period in its sketch.':
    'Sie sagt, sie messe alle {n} ms, und misst alle {n2} ms: den Takt in ihrem Sketch richten.',
  'Its readings come in fits and starts: the link or this computer is busy.':
    'Ihre Messwerte kommen stoßweise: die Leitung oder dieser Rechner ist beschäftigt.',
  'Its clock runs {decimal} % too fast: past 2 % its times cannot be used. Mend its sketch.':
    'Ihre Uhr geht {decimal} % vor: über 2 % sind ihre Zeiten nicht zu brauchen. Ihren Sketch richten.',
  'Its clock runs {decimal} % too slow: past 2 % its times cannot be used. Mend its sketch.':
    'Ihre Uhr geht {decimal} % nach: über 2 % sind ihre Zeiten nicht zu brauchen. Ihren Sketch richten.',
  'The link was pulled, and the board has not said hello since.':
    'Das Kabel wurde gezogen, und die Platine hat sich seither nicht gemeldet.',
  'The link was shut and opened again, and the board has not said hello since.':
    'Die Verbindung wurde geschlossen und wieder geöffnet, und die Platine hat sich seither nicht gemeldet.',
  'This board forgets when the cable is pulled: give it a supply of its own and turn off its restart on opening, as the notes on the board sketch say.':
    'Diese Platine vergisst, wenn das Kabel gezogen wird: ihr einen eigenen Strom geben und den Neustart beim Öffnen abschalten, wie es beim Sketch beschrieben ist.',
  'This board remembers when the cable is pulled.':
    'Diese Platine erinnert sich, wenn das Kabel gezogen wird.',
  'This board remembers when its link is shut and opened again. Whether it does without its cable depends on its supply: pull the cable and plug it in again to be sure.':
    'Diese Platine erinnert sich, wenn ihre Verbindung geschlossen und wieder geöffnet wird. Ob auch ohne Kabel, hängt von ihrem Strom ab: zur Sicherheit das Kabel ziehen und wieder einstecken.',
  'This is no board with a cable that could be tried.':
    'Das ist keine Platine mit einem Kabel, das sich prüfen ließe.',
  'The cable is tried only before the kiln is lit: now no reading may be lost.':
    'Das Kabel wird nur vor dem Anfeuern geprüft: jetzt darf kein Messwert verloren gehen.',
};
