/** The instruments themselves: a probe that fails, a board that gets hot, a link that is silent, an archive in trouble. */
import { aboutKiln, MINUTE_MS, type Rule, SECOND_MS, verdictOf } from '../rule.ts';
import { heatInWords, spanInWords } from '../words.ts';

const BOARD_HOT_C = 60;
const BOARD_COOL_C = 55;
const SILENT_MS = 60 * SECOND_MS;
const SILENT_PERIODS = 15;

export const probeFault: Rule = {
  name: 'probe-fault',
  onDelayMs: 30 * SECOND_MS,
  offDelayMs: 2 * MINUTE_MS,
  judge: (view) =>
    view.probes.map(({ probe, fault, pulled }) => {
      const on = fault !== null && !pulled && view.stage !== 'open';
      const text = () =>
        on
          ? `Probe ${probe}: ${fault}`
          : pulled
            ? `Probe ${probe} was pulled.`
            : `Probe ${probe} reads again.`;
      return { probe, verdict: on ? 'on' : 'off', text };
    }),
};

export const boardHot: Rule = {
  name: 'board-hot',
  onDelayMs: 30 * SECOND_MS,
  offDelayMs: 30 * SECOND_MS,
  judge: (view) => {
    let hottestC: number | null = null;
    for (const { coldJunctionC } of view.boards) {
      if (coldJunctionC !== null && (hottestC === null || coldJunctionC > hottestC)) hottestC = coldJunctionC;
    }
    if (hottestC === null) return aboutKiln('between', () => '');
    const boxC = hottestC;
    const off = boxC < BOARD_COOL_C;
    return aboutKiln(verdictOf(boxC >= BOARD_HOT_C, off), () =>
      off
        ? 'The logger box is cool again.'
        : `The logger box is at ${heatInWords(boxC)}: move it away from the kiln or shade it.`,
    );
  },
};

export const linkSilent: Rule = {
  name: 'link-silent',
  onDelayMs: 0,
  offDelayMs: 0,
  judge: (view) => {
    const silent = view.boards.find(
      (board) => view.at - board.lastReadingAt >= Math.max(SILENT_MS, SILENT_PERIODS * board.periodMs),
    );
    const on = silent !== undefined && view.stage !== 'open';
    return aboutKiln(on ? 'on' : 'off', () =>
      silent
        ? `No word from board ${silent.board} for ${spanInWords(view.at - silent.lastReadingAt)}. Look at the cable, the supply and the cones.`
        : 'The board is heard again.',
    );
  },
};

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
