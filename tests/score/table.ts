/** The figures as a table: the sets side by side, the bare mean beside each. */
import { rowsOf, type WayRow, wayRowsOf } from './figures.ts';
import type { FiringMarks } from './marks.ts';

export interface Column {
  title: string;
  firings: readonly FiringMarks[];
}

/** In Markdown, which reads as well in a terminal. The bare mean stands beside the first set and the last column. */
export function tableOf(columns: readonly Column[]): string {
  const sets = columns.map(({ firings }) => rowsOf(firings));
  const withBare = (column: number) => column === 0 || column === columns.length - 1;
  const head = [
    '',
    ...columns.flatMap(({ title }, i) => (withBare(i) ? [title, `${title}: 5 min mean`] : [title])),
  ];
  const body = (sets[0] ?? []).flatMap(({ label, silent }, i) =>
    silent && sets.every((rows) => rows[i]?.silent)
      ? []
      : [
          [
            label,
            ...sets.flatMap((rows, column) => {
              const { tool, bare } = rows[i] ?? {};
              return withBare(column) ? [tool?.text ?? '', bare?.text ?? ''] : [tool?.text ?? ''];
            }),
          ],
        ],
  );
  const widths = head.map((text, i) =>
    Math.max(text.length, 3, ...body.map((cells) => cells[i]?.length ?? 0)),
  );
  const line = (cells: readonly string[]) =>
    `| ${cells.map((cell, i) => cell.padEnd(widths[i] ?? 0)).join(' | ')} |`;
  const rule = `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`;
  return [line(head), rule, ...body.map(line)].join('\n');
}

/** The ways to a climb beside each other, set by set. */
export function waysTable(columns: readonly Column[]): string {
  const head = [
    'set',
    'way',
    'RMSE, °C/h',
    'median error, °C/h',
    'stalls found',
    'delay, median / p90, min',
    'false per 100 h',
  ];
  const cellsOf = ({ way, rmse, median, found, delay, falses }: WayRow) => [
    way,
    rmse,
    median,
    found,
    delay,
    falses,
  ];
  const rows = columns.flatMap(({ title, firings }) =>
    wayRowsOf(firings).map((row) => [title, ...cellsOf(row)]),
  );
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

/** The text of score.md. */
export function scoreFile(seeds: string, columns: readonly Column[]): string {
  return `# Score

What the climb, the stall alert, the salting window, the forecasts and the probe-fault alerts are worth, on simulated
firings whose truth is known. Written by \`npm run score -- --write\`: the figures are what the code gave when it was last
run, whatever they are, and none of them is set by hand. Nothing is tuned by any set but the first. The second has been run
many times, the third first when the figures before these were chosen, the fourth first when those of the stall were. After
that a slow sum was put back, and the firing cone's interval three hours ahead was made narrower: by firings outside the
sets, but when a cover of 92 % had been seen on them.

Each firing is drawn from its seed (${seeds}).
\`npm run score -- --only SEED\` tells one, \`--each\` all of them. Odd seeds log, even ones log nothing; every third has one
probe with a mishap. The rules are in \`rules.ts\` and \`marks.ts\`.
The '5 min mean' is there for scale: the slope of five-minute means, taken for a stall when it is below 11 °C/h for 2 min.

- A true stall: the true climb (noise-free mean of the places of the probes that work, smoothed by a centred biweight
  kernel of ±32 min) is below 11 °C/h while truly climbing; lows less than 20 min apart are one, and it lasts 20 min and
  more. The kernel looks ahead, so that its onset lies before anything can be seen.
- Found: by the first \`stall\` or \`falling\` raised from 15 min before its onset to its end. The delay is raise minus
  onset, and may be negative.
- False: raised without such a stall, in whatever stage; raised again within 20 min counts once. The hours of true
  climbing are the smaller number, and so the harder measure.
- Climb: by minute of true climbing, the last live reading in it.
- Salting window: the first raised within 60 min of the true crossing, else it is missed. The crossing is the first
  minute at which the centred 21 min mean is at the plan's start with the true climb above -11 °C/h. Forecast: the last
  one made before the time asked for; an interval without an upper end holds all that is later.
- A probe's mishap is told of if \`probe-fault\` is raised for it while it lasts or within 15 min of its end; of one that
  breaks or drifts, at any time after its beginning. Any other \`probe-fault\` is false.
- A true peak: the greatest noise-free gas temperature at the probes' places from a stoke's dip to the next stoke, where the
  gas has gone down from it by a tenth of its rise (2 °C at least) a minute and more before that stoke. A told peak is false
  if the gas is then still further below its coming peak than that, or if it is the second after one stoke. Stokes while
  truly climbing or holding, and none with a gap in the readings of 2 min before the next. A stoke is seen if it is put
  within 2 min of its time.
- Alerts are counted when they are raised; those that eased and call again have a line of
  their own. Hours watched are from the first line to 3 h after clam-up.

${tableOf(columns)}

## Ways to the climb
The same readings, other ways: each is taken for a stall when it is below 11 °C/h for 2 min while the tool says that it
climbs; the track has its sequential test. Their lengths are the best on the first set. False ones by the hours from
light-up to clam-up.

${waysTable(columns)}
`;
}
