/** Is the board itself, its line and its memory fit for a firing? The limits are our own choice. */
import { differenceInWords, heatInWords, spanInWords } from '../../../alerts/words.ts';
import type { BoardFacts } from '../../../protocol/board-facts.ts';
import { aboutOf, type Finding, shareInWords } from './finding.ts';

/** Of all lines; at least so many, for one line of thirty is chance. */
const BAD_SHARE = 0.02;
const BAD_LINES = 3;
const SKIPPED_SHARE = 0.05;
const SLOW_TRIP_MS = 2_000;
/** A question that goes unheard once may have met a board that was starting. */
const LEAST_ASKED = 2;
/** The period is not what the board says. */
const PACE_OFF = 0.25;
/** No quartz or ceramic resonator is further off: 2 %, in millionths. */
const CLOCK_OFF_PPM = 20_000;
const SURE_SDS = 4;
/** In less, one hiccup of the computer passes for a rate. */
const CLOCK_FROM_MS = 20_000;
/** The logger box: too hot for its parts (the alert `board-hot` clears here), too cold to be true. */
const BOX_HOT_C = 55;
const BOX_COLD_C = -20;
const BOX_RESTLESS_C = 3;

const { mend, mind, fine } = aboutOf(null);

/** The board has been heard, and what it says can be read. */
export function judgeHearing(facts: BoardFacts): Finding[] {
  const { hello, plain, lines } = facts;
  if (lines.all === 0)
    return [
      mend(
        'silent',
        'Nothing has come from the board: look at its supply, its cable and its speed (--baud).',
      ),
    ];
  if (hello === null && !plain)
    return [
      mend(
        'no-hello',
        'The board has not said what it is: give its speed with --baud, or with --plain what its numbers are if it just prints numbers.',
      ),
    ];
  if (facts.readings === 0)
    return [mend('no-readings', 'The board is there, but has sent no reading that can be used.')];
  return [];
}

/** Everything about a board that is heard, but its probes. */
export function judgeBoard(facts: BoardFacts): Finding[] {
  return [
    ...ownTemperature(facts),
    ...line(facts),
    ...answers(facts),
    ...memory(facts),
    ...pace(facts),
    ...(facts.restarts > 0
      ? [
          mend(
            'restarts',
            'It began anew by itself while it was listened to: look at its supply and its cable.',
          ),
        ]
      : []),
    ...cable(facts),
  ];
}

function ownTemperature({ coldJunction, probes, readings }: BoardFacts): Finding[] {
  const { lastC, leastC, mostC, none } = coldJunction;
  const needed = probes.some(({ form }) => form !== 'deg');
  if (needed && none > readings / 2)
    return [
      mend(
        'no-cold-junction',
        'It does not give its own temperature, and without that its couples cannot be read: look at the sensor on the board.',
      ),
    ];
  if (lastC === null || leastC === null || mostC === null) return [];
  if (mostC > BOX_HOT_C)
    return [mend('box-hot', `It is ${heatInWords(mostC)} in its box: move it away from the heat.`)];
  if (leastC < BOX_COLD_C)
    return [
      mend(
        'box-cold',
        `It says that it is ${heatInWords(leastC)} in its box: its own sensor is likely broken.`,
      ),
    ];
  if (mostC - leastC > BOX_RESTLESS_C)
    return [
      mind(
        'box-restless',
        `Its own temperature went about by ${differenceInWords(mostC - leastC)}: keep it out of sun and draught, for its readings follow.`,
      ),
    ];
  return [fine('box', `It is ${heatInWords(lastC)} in its box, steady.`)];
}

/** Lines that could not be read. One that came before the hello was whole. */
export function badLines({ lines, hello }: BoardFacts): number {
  const early = hello === null ? 0 : (lines.bad['before-hello'] ?? 0);
  return Object.values(lines.bad).reduce((sum, count) => sum + count, 0) - early;
}

function line(facts: BoardFacts): Finding[] {
  const { lines, skipped, readings } = facts;
  const bad = badLines(facts);
  const share = bad / Math.max(1, lines.all);
  const found: Finding[] = [];
  if (bad >= BAD_LINES && share > BAD_SHARE)
    found.push(
      mend(
        'bad-lines',
        `${bad} of ${lines.all} lines (${shareInWords(share)}) came in broken: another cable, a shorter one, or away from motors and mains.`,
      ),
    );
  else if (bad > 0) found.push(mind('some-bad-lines', `${bad} of ${lines.all} lines came in broken.`));
  if (skipped > Math.max(1, readings * SKIPPED_SHARE))
    found.push(mend('skipped', `${skipped} readings never came: look at the cable and the plug.`));
  else if (skipped > 0)
    found.push(mind('some-skipped', `${skipped} of ${readings + skipped} readings never came.`));
  return found.length > 0 ? found : [fine('line', `All ${lines.all} lines came whole.`)];
}

function answers({ plain, hellos }: BoardFacts): Finding[] {
  if (plain || hellos.asked < LEAST_ASKED) return [];
  if (hellos.answered === 0)
    return [
      mend(
        'deaf',
        'It does not hear Spyhole: it cannot be asked for what was missed, and a lamp or buzzer on it would stay dark. Look at the wire to the board and at its sketch.',
      ),
    ];
  if (hellos.answered * 2 < hellos.asked)
    return [mind('hard-of-hearing', `It answered ${hellos.answered} of ${hellos.asked} questions.`)];
  if ((hellos.tripMs ?? 0) > SLOW_TRIP_MS)
    return [mind('slow', `It takes ${spanInWords(hellos.tripMs ?? 0)} to answer.`)];
  return [fine('answers', `It answers within ${Math.max(1, Math.round(hellos.tripMs ?? 0))} ms.`)];
}

function memory({ plain, hello, gives, probes }: BoardFacts): Finding[] {
  if (hello === null) return plain ? plainBoard(probes.some(({ couple }) => couple === 'K')) : [];
  if (hello.keeps === 0)
    return [
      mend(
        'keeps-none',
        'It keeps no readings: what is missed while its cable is out stays missed. Give it a sketch that keeps them.',
      ),
    ];
  if (gives.gone > 0)
    return [
      mend(
        'keeps-fewer',
        `It says that it keeps ${hello.keeps} readings, and had lost one that it should have: mend its sketch.`,
      ),
    ];
  if (gives.asked >= LEAST_ASKED && gives.answered === 0)
    return [
      mend(
        'gives-none',
        `It says that it keeps ${hello.keeps} readings, and sends none when asked: mend its sketch.`,
      ),
    ];
  const minutes = spanInWords(hello.keeps * hello.periodMs);
  if (gives.answered === 0) return [];
  return [
    fine('keeps', `It keeps ${hello.keeps} readings, ${minutes} of them, and sends them again when asked.`),
  ];
}

/** How far a straight-line chip is off: computed from the reference function of type K (NIST Monograph 175). */
function plainBoard(hasTypeK: boolean): Finding[] {
  const keepsNone = mind(
    'plain',
    'It just prints numbers and keeps none: what is missed while its cable is out stays missed.',
  );
  if (!hasTypeK) return [keepsNone];
  return [
    keepsNone,
    mind(
      'straight-line',
      `A cheap chip that takes type K as a straight line reads ${differenceInWords(16)} low at ${heatInWords(1200)}: ask its maker, and go by cones.`,
    ),
  ];
}

function pace({ pace: kept, hello, clock }: BoardFacts): Finding[] {
  const found: Finding[] = [];
  if (kept !== null && hello !== null) {
    if (Math.abs(kept.medianMs / hello.periodMs - 1) > PACE_OFF)
      found.push(
        mind(
          'odd-period',
          `It says that it reads every ${hello.periodMs} ms, and reads every ${Math.round(kept.medianMs)} ms: mend the period in its sketch.`,
        ),
      );
    else if (kept.highMs - kept.lowMs > hello.periodMs)
      found.push(
        mind('uneven-pace', 'Its readings come in fits and starts: the link or this computer is busy.'),
      );
  }
  if (
    clock !== null &&
    clock.overMs >= CLOCK_FROM_MS &&
    Math.abs(clock.fastPpm) - SURE_SDS * clock.sdPpm > CLOCK_OFF_PPM
  )
    found.push(
      mend(
        'clock',
        `Its clock runs ${shareInWords(Math.abs(clock.fastPpm) / 1e6)} too ${clock.fastPpm > 0 ? 'fast' : 'slow'}: past 2 % its times cannot be used. Mend its sketch.`,
      ),
    );
  return found;
}

function cable({ cable: tried, plain }: BoardFacts): Finding[] {
  if (tried === null || plain) return [];
  const what = tried.how === 'pulled' ? 'was pulled' : 'was shut and opened again';
  if (tried.remembers === null)
    return [mind('cable-waits', `The link ${what}, and the board has not said hello since.`)];
  if (!tried.remembers)
    return [
      mend(
        'forgets',
        'This board forgets when the cable is pulled: give it a supply of its own and turn off its restart on opening, as the notes on the board sketch say.',
      ),
    ];
  return [
    fine(
      'remembers',
      tried.how === 'pulled'
        ? 'This board remembers when the cable is pulled.'
        : 'This board remembers when its link is shut and opened again. Whether it does without its cable depends on its supply: pull the cable and plug it in again to be sure.',
    ),
  ];
}
