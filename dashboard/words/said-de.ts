/** What the collector says, in German: each sentence as the core makes it. `tests/page/said.test.ts` holds it to all of them. */
import type { PhraseBook } from './said.ts';

export const SAID_DE: PhraseBook = {
  // Over a notification
  'Come now: {name}': 'Sofort kommen: {name}',
  'Look soon: {name}': 'Bald nachsehen: {name}',
  'Note: {name}': 'Gut zu wissen: {name}',
  '{name}: answered': '{name}: beantwortet',
  '{name}: over': '{name}: vorbei',
  '{name}: put aside': '{name}: beiseitegelegt',
  '{name} has heard:': '{name} hat gehört:',
  'A test of {name}': 'Ein Versuch von {name}',
  'If you read this, this way reaches you.': 'Wer das liest, ist auf diesem Weg zu erreichen.',
  'Nothing is wrong at the kiln.': 'Am Ofen ist alles in Ordnung.',

  // Where the kiln stands
  'The kiln is not lit.': 'Der Ofen ist nicht angefeuert.',
  'Candling now.': 'Jetzt wird geschmaucht.',
  'Climbing now.': 'Jetzt wird aufgeheizt.',
  'Holding now.': 'Jetzt wird gehalten.',
  'Salting now.': 'Jetzt wird gesalzen.',
  'Soaking now.': 'Jetzt wird ausgegart.',
  'The kiln is closed and cools.': 'Der Ofen ist zu und kühlt ab.',
  'The kiln is open.': 'Der Ofen ist offen.',
  'No couple in the kiln: go by cones and draws.':
    'Kein Thermoelement im Ofen: nach Kegeln und Ziehringen gehen.',

  // Standing and falling
  'The kiln stands still.': 'Der Ofen steht still.',
  'The kiln does not climb.': 'Der Ofen steigt nicht.',
  'The kiln loses heat.': 'Der Ofen verliert Hitze.',
  'The kiln stands still: up {heat} an hour, for about {span} ({n} % sure).':
    'Der Ofen steht still: {heat} je Stunde hinauf, etwa {span} lang (zu {n} % sicher).',
  'The kiln stands still: down {heat} an hour, for about {span} ({n} % sure).':
    'Der Ofen steht still: {heat} je Stunde hinab, etwa {span} lang (zu {n} % sicher).',
  'The kiln does not climb: down {heat} an hour, for about {span} ({n} % sure).':
    'Der Ofen steigt nicht: {heat} je Stunde hinab, etwa {span} lang (zu {n} % sicher).',
  'The kiln loses heat: down {heat} an hour, for about {span} ({n} % sure).':
    'Der Ofen verliert Hitze: {heat} je Stunde hinab, etwa {span} lang (zu {n} % sicher).',
  'The kiln stands still, for about {span} ({n} % sure).':
    'Der Ofen steht still, seit etwa {span} (zu {n} % sicher).',
  'The kiln loses heat, for about {span} ({n} % sure).':
    'Der Ofen verliert Hitze, seit etwa {span} (zu {n} % sicher).',
  'Usual at this heat: wet or thick wood, or too little draught. Try drier, thinner wood.':
    'Üblich bei dieser Hitze: nasses oder dickes Holz, oder zu wenig Zug. Trockeneres, dünneres Holz versuchen.',
  'Usual at this heat: embers choke the firebox, or too little air. Let it burn down, rake, then small wood.':
    'Üblich bei dieser Hitze: Glut verstopft die Feuerung, oder zu wenig Luft. Herunterbrennen lassen, durchharken, dann kleines Holz.',
  'Usual at this heat: too much wood at once, or too much cold air. Let it burn down, then smaller stokes, one change at a time.':
    'Üblich bei dieser Hitze: zu viel Holz auf einmal, oder zu viel kalte Luft. Herunterbrennen lassen, dann weniger auflegen, immer nur eins ändern.',
  'No stoke for {span}: is somebody stoking?': '{span} lang nicht geschürt: ist jemand am Schüren?',
  'The damper was moved {span} ago: that may be it.':
    'Der Schieber wurde verstellt, {span} her: das kann es sein.',
  'Is somebody stoking?': 'Ist jemand am Schüren?',
  'If it was closed on purpose, log the clam-up.':
    'Wenn der Ofen mit Absicht zu ist, das Zumachen eintragen.',
  'The collector was stopped, and started again.': 'Das Programm wurde angehalten und neu gestartet.',
  'It climbs again.': 'Er steigt wieder.',
  'It falls no more.': 'Er fällt nicht mehr.',
  'Salting heat is reached.': 'Die Salzhitze ist da.',
  'The kiln has had its time at salting heat.': 'Der Ofen hat seine Zeit in der Salzhitze gehabt.',
  'A place is a cone beyond the firing cone.': 'Ein Platz ist einen Kegel über dem Zielkegel.',
  'The hold is only just over.': 'Das Halten ist eben erst vorbei.',

  // Too fast
  'Climbing {heat} an hour.': 'Steigt {heat} je Stunde.',
  'Below {heat} keep under {heat2} an hour: raw ware can burst. Stoke less.':
    'Unter {heat} nicht schneller als {heat2} je Stunde: rohe Ware kann platzen. Weniger schüren.',
  'The climb is within its limit again.': 'Der Anstieg ist wieder in seiner Grenze.',
  'Past the heat at which a fast climb breaks pots.':
    'Über die Hitze hinaus, bei der schneller Anstieg Töpfe bricht.',
  'Cooling {heat} an hour.': 'Kühlt {heat} je Stunde ab.',
  'From {heat} to {heat2} keep under {heat3} an hour: pots can crack. Close the damper and stop air leaks.':
    'Von {heat} bis {heat2} nicht schneller als {heat3} je Stunde: Töpfe können reißen. Schieber zu und Ritzen dichten.',
  'Cooling is within its limit again.': 'Das Abkühlen ist wieder in seiner Grenze.',
  'Past the heat at which fast cooling cracks pots.':
    'Unter der Hitze, bei der schnelles Abkühlen Töpfe reißt.',

  // Salting
  'Salting heat in about {span}.': 'Noch etwa {span} bis zur Salzhitze.',
  'Have dry, weighed salt, draw rings, masks and gloves ready.':
    'Trockenes, gewogenes Salz, Ziehringe, Masken und Handschuhe bereitlegen.',
  'Salting heat is further off again.': 'Die Salzhitze ist wieder weiter weg.',
  'Salting has begun.': 'Das Salzen hat begonnen.',
  'Enough salt is in.': 'Es ist genug Salz drin.',
  "Hotter than the plan's top, {heat}: no salt now.": 'Heißer als der Plan, {heat}: jetzt kein Salz.',
  'Too cold for salt: {heat}.': 'Zu kalt für Salz: {heat}.',
  'Hot enough for salt: {heat}.': 'Heiß genug für Salz: {heat}.',
  'Small charges, both holes in turn. Stay upwind of the fume, and never alone.':
    'Kleine Portionen, beide Löcher im Wechsel. Mit dem Wind im Rücken stehen, und nie allein.',
  'The plan gives no heat to wait for.': 'Der Plan nennt keine Hitze, auf die zu warten wäre.',
  'Stoke, wait, and salt again near {heat}.': 'Schüren, warten, und bei etwa {heat} wieder salzen.',
  'The heat is back: {heat}. Go on salting.': 'Die Hitze ist zurück: {heat}. Weiter salzen.',
  'Draw ring {n} is due: {decimal} of {decimal2} {unit} of salt is in. Gloves and dark glasses on.':
    'Ziehring {n} ist dran: {decimal} von {decimal2} {unit} Salz sind drin. Handschuhe und dunkle Gläser an.',
  'The draw ring is out.': 'Der Ziehring ist gezogen.',

  // Too hot, too uneven
  'Hotter than planned: {heat}, the top is {heat2}. Stop stoking and let it burn down.':
    'Heißer als geplant: {heat}, das Höchste ist {heat2}. Nicht mehr schüren, herunterbrennen lassen.',
  'Below the top again: {heat}.': 'Wieder unter dem Höchsten: {heat}.',
  'Probe {name} reads no more.': 'Fühler {name} misst nicht mehr.',
  'Probe {name} shows {heat}, near the most its couple can read. Stop stoking, and look at the cones.':
    'Fühler {name} zeigt {heat}, fast das Äußerste, was sein Thermoelement messen kann. Nicht mehr schüren, nach den Kegeln sehen.',
  "Probe {name} is well below its couple's limit again.":
    'Fühler {name} ist wieder weit unter der Grenze seines Thermoelements.',
  'There is only one probe left to go by.': 'Es ist nur noch ein Fühler da, nach dem man gehen kann.',
  'For half an hour {name} has been much hotter than {name2}, by {heat} now. Move the damper a little, then wait two or three stokes.':
    'Seit einer halben Stunde ist {name} viel heißer als {name2}, jetzt um {heat}. Den Schieber ein wenig verstellen, dann zwei, drei Schürungen abwarten.',
  'Even enough again: {heat} between the probes.': 'Wieder gleichmäßig genug: {heat} zwischen den Fühlern.',

  // The instruments
  'Probe {name}:': 'Fühler {name}:',
  'Probe {name} was pulled.': 'Fühler {name} wurde herausgezogen.',
  'Probe {name} reads again.': 'Fühler {name} misst wieder.',
  'The board gives a sound temperature again.': 'Die Platine nennt wieder eine glaubhafte Temperatur.',
  'Board {name} takes itself to be colder or hotter than a box can be. All its probes are wrong by as much: look at the board, and go by the cones.':
    'Platine {name} hält sich für kälter oder heißer, als ein Kasten sein kann. Alle ihre Fühler liegen um so viel daneben: nach der Platine sehen, und nach den Kegeln gehen.',
  'Board {name} has a temperature of its own that jumps, and all its probes jump with it. Look at the board and its plugs, and go by the cones.':
    'Die eigene Temperatur der Platine {name} springt, und alle ihre Fühler springen mit. Nach der Platine und ihren Steckern sehen, und nach den Kegeln gehen.',
  'The logger box is at {heat}. Move it away from the kiln, or shade it.':
    'Der Kasten der Platine hat {heat}. Vom Ofen wegrücken oder in den Schatten stellen.',
  'The logger box is cool again.': 'Der Kasten der Platine ist wieder kühl.',
  'Nothing from board {name} for {span}. Look at its cable and its supply; go by the cones until it speaks.':
    'Nichts von Platine {name}, {span} lang. Nach Kabel und Strom sehen; nach den Kegeln gehen, bis sie spricht.',
  'Nothing from any of the boards {name} for {span}. Look at their cables and their supply; go by the cones until they speak.':
    'Von keiner der Platinen {name} etwas, {span} lang. Nach Kabeln und Strom sehen; nach den Kegeln gehen, bis sie sprechen.',
  'The board is heard again.': 'Die Platine ist wieder zu hören.',
  'The archive is written again.': 'Der Brand wird wieder aufgeschrieben.',
  'Every armed phone is heard again, or was let go.':
    'Jedes Handy, das wecken soll, ist wieder zu hören oder wurde abgemeldet.',

  // How one is called
  'Each page that is open sounds by itself, once it was let.':
    'Jede offene Seite tönt von selbst, sobald sie einmal darf.',
  "The board's lamp and buzzer follow what stands.": 'Lampe und Summer der Platine folgen dem, was ansteht.',
  'No board is being watched.': 'Es wird keine Platine beobachtet.',
  'This computer calls through {name}.': 'Dieser Rechner ruft über {name}.',
  "Only the terminal's bell is left.": 'Es bleibt nur die Glocke des Terminals.',
  'Mail goes to {name} over {name2}.': 'Mail geht an {name} über {name2}.',
  'Each change of an alert goes to {name}.': 'Jede Änderung eines Rufs geht an {name}.',
  'The broker {name} is told, under {name2}/.': 'Dem Broker {name} wird es gesagt, unter {name2}/.',
  'It is tried again every 5 seconds.': 'Es wird alle 5 Sekunden wieder versucht.',
  'No phone has asked for push: open the page over HTTPS on the phone, and turn it on there.':
    'Kein Handy hat um Mitteilungen gebeten: die Seite am Handy über HTTPS öffnen und sie dort einschalten.',
  '1 phone is called over the internet, even while locked.':
    '1 Handy wird übers Internet gerufen, auch gesperrt.',
  '{n} phones are called over the internet, even while locked.':
    '{n} Handys werden übers Internet gerufen, auch gesperrt.',
  'Push needs the page over HTTPS: start the collector with --lan --https.':
    'Für Mitteilungen muss die Seite über HTTPS kommen: Spyhole mit --lan --https starten.',
  'No webhook is set: name one in {name}.': 'Kein Webhook ist eingestellt: einen nennen in {name}.',
  'No mail server is set: name one in {name}.': 'Kein Mailserver ist eingestellt: einen nennen in {name}.',
  'No MQTT broker is set: name one in {name}.': 'Kein MQTT-Broker ist eingestellt: einen nennen in {name}.',
  'It is turned off in {name}.': 'Abgeschaltet in {name}.',

  // The next thing to do
  'Stoked.': 'Geschürt.',
  'It climbs too fast: no wood yet.': 'Er steigt zu schnell: noch kein Holz.',
  'It stands still: let it burn down first.': 'Er steht still: erst herunterbrennen lassen.',
  'Time to stoke.': 'Zeit zum Schüren.',
  'Time to stoke: the last one has given its heat.': 'Zeit zum Schüren: das letzte hat seine Hitze gegeben.',
  'The last stoke was {span} ago.': 'Zuletzt geschürt: {span} her.',
  'The last stoke seen was {span} ago.': 'Zuletzt wohl geschürt: {span} her.',
  'Cool enough to unbrick: the hottest probe shows {heat}. Open slowly, cold air cracks pots. Brick and ware still burn you. Wet the dust.':
    'Kühl genug zum Öffnen: der heißeste Fühler zeigt {heat}. Langsam öffnen, kalte Luft lässt Töpfe reißen. Steine und Ware brennen noch. Den Staub anfeuchten.',
  'Too hot to open again: {heat}.': 'Wieder zu heiß zum Öffnen: {heat}.',

  // What is wrong with a probe
  'its circuit is open. Look at the wires, the plug and the couple.':
    'sein Stromkreis ist offen. Nach Drähten, Stecker und Thermoelement sehen.',
  'it touches something it must not. Look at the wires and the sheath.':
    'er berührt etwas, was er nicht darf. Nach Drähten und Schutzrohr sehen.',
  'it shows what its couple cannot. The type may be wrong, or its two wires the wrong way round.':
    'er zeigt, was sein Thermoelement nicht kann. Vielleicht stimmt der Typ nicht, oder die zwei Drähte sind vertauscht.',
  'the board does not give its own temperature, so this probe cannot be read. Look at the board.':
    'die Platine nennt ihre eigene Temperatur nicht, so ist dieser Fühler nicht abzulesen. Nach der Platine sehen.',
  'the board sends nothing for it. Look at its plug and at the board.':
    'die Platine schickt nichts von ihm. Nach seinem Stecker und der Platine sehen.',
  'the very same reading for minutes, with no stoke to be seen in it. It may have frozen: look at the board.':
    'minutenlang genau derselbe Wert, und kein Schüren darin zu sehen. Vielleicht steckt er fest: nach der Platine sehen.',
  'it jumps about, or comes and goes. Look at the screws and the plug.':
    'er springt herum, oder kommt und geht. Nach den Schrauben und dem Stecker sehen.',
  'it has slid down from the others by {heat} in {span}.':
    'er ist von den anderen um {heat} hinabgewandert, in {span}.',
  'it has slid up from the others by {heat} in {span}.':
    'er ist von den anderen um {heat} hinaufgewandert, in {span}.',
  'It does not count for the kiln while another probe works: check by cone, then pull it, or log it as put back if it is right.':
    'Er zählt nicht für den Ofen, solange ein anderer geht: am Kegel prüfen, dann herausziehen, oder als wieder eingesetzt eintragen, wenn er stimmt.',
  'it has parted from the others by {heat} in {span}, more than places in a kiln do. It may read wrong: check by cone, and pull it if it does.':
    'er hat sich von den anderen um {heat} entfernt, in {span}, mehr als Plätze in einem Ofen. Vielleicht misst er falsch: am Kegel prüfen, und wenn ja, herausziehen.',
  'it and {name} have parted by {heat} in {span}, more than places in a kiln do. One of the two may read wrong: check both by cone, and pull that one.':
    'er und {name} haben sich um {heat} voneinander entfernt, in {span}, mehr als Plätze in einem Ofen. Einer von beiden misst vielleicht falsch: beide am Kegel prüfen und den falschen herausziehen.',
  'it jumped down by {heat} at once, and stayed. Was it moved, or the board struck? Check by cone.':
    'er sprang auf einmal um {heat} hinab und blieb dort. Wurde er bewegt oder die Platine gestoßen? Am Kegel prüfen.',
  'it jumped up by {heat} at once, and stayed. Was it moved, or the board struck? Check by cone.':
    'er sprang auf einmal um {heat} hinauf und blieb dort. Wurde er bewegt oder die Platine gestoßen? Am Kegel prüfen.',
  'too cold for type B to read': 'zu kalt für Typ B',
  'may read low; check by cone': 'zeigt vielleicht zu wenig; am Kegel prüfen',
};
