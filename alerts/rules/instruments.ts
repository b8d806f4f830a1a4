/** The instruments themselves: a probe that fails, a board that gets hot, a link that is silent, an archive in trouble. */
import { MINUTE_MS, SECOND_MS } from '../../protocol/units.ts';
import { aboutKiln, type Finding, notKnown, type Rule, verdictOf } from '../rule.ts';
import type { BoardView, KilnView, ProbeView } from '../view.ts';
import { heatInWords, nowInWords, spanInWords } from '../words.ts';

const BOARD_HOT_C = 60;
const BOARD_COOL_C = 55;
const SILENT_MS = 60 * SECOND_MS;
const SILENT_PERIODS = 15;

export const probeFault: Rule = {
  name: 'probe-fault',
  onDelayMs: 30 * SECOND_MS,
  offDelayMs: 2 * MINUTE_MS,
  judge: (view) => {
    const findings = view.probes.map((probe) => probeItself(view, probe));
    findings.push(coldJunction(view));
    return findings;
  },
};

function probeItself(view: KilnView, { probe, fault, doubt, pulled }: ProbeView): Finding {
  const wrong = fault ?? doubt;
  const on = wrong !== null && !pulled && view.stage !== 'open';
  const text = () => {
    if (on) return `Probe ${probe}: ${wrong}`;
    if (pulled) return `Probe ${probe} was pulled.`;
    return view.stage === 'open' ? nowInWords(view) : `Probe ${probe} reads again.`;
  };
  return { probe, verdict: on ? 'on' : 'off', text };
}

/** A board's own temperature that cannot be right is wrong in each of its probes. */
function coldJunction(view: KilnView): Finding {
  const doubted = view.boards.find(({ coldDoubt }) => coldDoubt !== null);
  if (!doubted || view.stage === 'open') {
    const over = () =>
      view.stage === 'open' ? nowInWords(view) : 'The board gives a sound temperature again.';
    return { probe: null, verdict: 'off', text: over };
  }
  const { board, coldDoubt } = doubted;
  const text = () =>
    coldDoubt === 'range'
      ? `Board ${board} takes itself to be colder or hotter than a box can be. All its probes are wrong by as much: look at the board, and go by the cones.`
      : `Board ${board} has a temperature of its own that jumps, and all its probes jump with it. Look at the board and its plugs, and go by the cones.`;
  return { probe: null, verdict: 'on', text };
}

/** What a board that is not heard last said of itself says nothing about now. */
function isSilent({ at }: KilnView, { lastReadingAt, periodMs }: BoardView): boolean {
  return at - lastReadingAt >= Math.max(SILENT_MS, SILENT_PERIODS * periodMs);
}

export const boardHot: Rule = {
  name: 'board-hot',
  onDelayMs: 30 * SECOND_MS,
  offDelayMs: 30 * SECOND_MS,
  judge: (view) => {
    let boxC = Number.NEGATIVE_INFINITY;
    for (const board of view.boards)
      if (board.coldJunctionC !== null && !isSilent(view, board)) boxC = Math.max(boxC, board.coldJunctionC);
    if (boxC === Number.NEGATIVE_INFINITY) return notKnown();
    const on = boxC >= BOARD_HOT_C;
    return aboutKiln(verdictOf(on, boxC < BOARD_COOL_C), () =>
      on
        ? `The logger box is at ${heatInWords(boxC)}. Move it away from the kiln, or shade it.`
        : 'The logger box is cool again.',
    );
  },
};

export const linkSilent: Rule = {
  name: 'link-silent',
  onDelayMs: 0,
  offDelayMs: 0,
  judge: (view) => {
    if (view.stage === 'open') return aboutKiln('off', () => nowInWords(view));
    const silent = view.boards.filter((board) => isSilent(view, board));
    return aboutKiln(silent.length > 0 ? 'on' : 'off', () => silenceInWords(silent, view.at));
  },
};

/** Of several boards, for how long none of them has been heard. */
function silenceInWords(silent: readonly BoardView[], at: number): string {
  if (silent.length === 0) return 'The board is heard again.';
  const names = silent.map(({ board }) => board).join(', ');
  const span = spanInWords(at - Math.max(...silent.map(({ lastReadingAt }) => lastReadingAt)));
  return silent.length === 1
    ? `Nothing from board ${names} for ${span}. Look at its cable and its supply; go by the cones until it speaks.`
    : `Nothing from any of the boards ${names} for ${span}. Look at their cables and their supply; go by the cones until they speak.`;
}

export const archiveTrouble: Rule = {
  name: 'archive-trouble',
  onDelayMs: 0,
  offDelayMs: 0,
  judge: (view) =>
    aboutKiln(
      view.archiveTrouble === null ? 'off' : 'on',
      () => view.archiveTrouble ?? 'The archive is written again.',
    ),
};
