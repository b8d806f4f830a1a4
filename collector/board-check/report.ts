/** What `spyhole board` prints: the facts as a small table, then the verdict in words. */
import type { BoardFacts, ProbeFacts } from '../../protocol/board-facts.ts';
import { differenceFFromC, fFromC } from '../../protocol/units.ts';
import type { Finding } from '../core/board-check/finding.ts';
import { shareInWords } from '../core/board-check/finding.ts';
import type { Judgement } from '../core/board-check/judge.ts';
import { badLines } from '../core/board-check/judge-board.ts';

const GRADE_WORDS: Record<Finding['grade'], string> = { mend: 'mend', mind: 'mind', fine: 'good' };

const tenth = (value: number): string => value.toFixed(1);
const heat = (tempC: number): string => `${tenth(fFromC(tempC))} °F (${tenth(tempC)} °C)`;
const difference = (byC: number): string => `${tenth(differenceFFromC(byC))} °F (${tenth(byC)} °C)`;
const ms = (value: number): string => `${Math.round(value)} ms`;

function formInWords(form: string): string {
  if (form === 'uv') return 'EMF in microvolts';
  if (form === 'deg') return 'degrees, reckoned by the board';
  return `straight line of ${form.slice('lin'.length)} µV/°C, undone here`;
}

function faultsInWords(faults: ProbeFacts['faults']): string {
  return Object.entries(faults)
    .map(([why, count]) => `${why.replaceAll('-', ' ')} ${count} times`)
    .join(', ');
}

function probeRow(probe: ProbeFacts): string[] {
  const { name, couple, form, lastC, leastC, mostC, noiseC, faults } = probe;
  const span = leastC === null || mostC === null ? '' : `ranged over ${difference(mostC - leastC)}`;
  return [
    name,
    `type ${couple}, ${formInWords(form)}`,
    lastC === null ? 'no temperature' : heat(lastC),
    noiseC === null ? '' : `noise ${difference(noiseC)}`,
    [span, faultsInWords(faults)].filter((words) => words !== '').join('; '),
  ];
}

function table(rows: string[][]): string[] {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows.map((row) =>
    `  ${row.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('  ')}`.trimEnd(),
  );
}

function boardLine({ hello, plain, link }: BoardFacts): string {
  if (hello !== null) {
    const { board, boot, periodMs, keeps } = hello;
    return `Board ${board} on ${link}, boot ${boot}: reads every ${periodMs} ms, keeps ${keeps} readings.`;
  }
  return plain
    ? `A board on ${link} that just prints numbers.`
    : `A board on ${link} that has not said what it is.`;
}

function roundTrip(of: BoardFacts['hellos'], what: string): string {
  if (of.asked === 0) return `${what}: not asked`;
  const trip = of.tripMs === null ? '' : `, in ${ms(of.tripMs)}`;
  return `${what}: ${of.answered} of ${of.asked} answered${trip}`;
}

function figures(facts: BoardFacts): string[][] {
  const { lines, coldJunction, pace, clock, skipped, readings } = facts;
  const bad = badLines(facts);
  const share = shareInWords(bad / Math.max(1, lines.all));
  const { lastC, leastC, mostC } = coldJunction;
  const about = (hello: BoardFacts['hello']) => (hello === null ? [] : questions(facts));
  return [
    [
      'cold junction',
      lastC === null
        ? 'none given'
        : `${heat(lastC)}, ranged over ${difference((mostC ?? lastC) - (leastC ?? lastC))}`,
    ],
    [
      'line',
      `${lines.all} lines, ${bad} broken (${share}); ${lines.torn} torn; ${readings} readings, ${skipped} never came`,
    ],
    ...about(facts.hello),
    [
      'pace',
      pace === null
        ? 'too few readings to say'
        : `every ${ms(pace.medianMs)}, half of them within ${ms(pace.lowMs)} to ${ms(pace.highMs)}`,
    ],
    ['clock', clockInWords(clock)],
  ];
}

function questions({ hellos, gives }: BoardFacts): string[][] {
  return [['round trip', `${roundTrip(hellos, 'hello')}; ${roundTrip(gives, 'a reading asked for again')}`]];
}

function clockInWords(clock: BoardFacts['clock']): string {
  if (clock === null) return 'too little heard to say';
  const off = Math.round(Math.abs(clock.fastPpm));
  const sd = Math.round(clock.sdPpm);
  if (off <= 2 * sd) return `right, as far as so short a time can tell (give or take ${2 * sd} in a million)`;
  return `${off} in a million too ${clock.fastPpm > 0 ? 'fast' : 'slow'}, give or take ${2 * sd}`;
}

/** The whole report, lines ended by LF. */
export function boardReport(facts: BoardFacts, judgement: Judgement): string {
  const { sentence, findings, untried } = judgement;
  const found = findings.map(
    ({ grade, probe, text }) => `  ${GRADE_WORDS[grade]}  ${probe === null ? '' : `${probe}: `}${text}`,
  );
  const parts = [
    boardLine(facts),
    '',
    ...table(facts.probes.map(probeRow)),
    '',
    ...table(figures(facts)),
    '',
    sentence,
    ...found,
    ...(untried.length === 0 ? [] : ['', 'Not tried:', ...untried.map((text) => `  ${text}`)]),
  ];
  return `${parts.join('\n')}\n`;
}
