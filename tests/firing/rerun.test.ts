import { describe, expect, it } from 'vitest';
import { newRerun, rerunItem } from '../../collector/firing/rerun.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import type { CaptureLine } from '../../protocol/capture.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import type { ProbeSpec, RawValue } from '../../protocol/probes.ts';

const START = Date.UTC(2031, 2, 8, 5);
const deg = { kind: 'deg' } as const;
const TWO: ProbeSpec[] = [
  { name: 'low', couple: 'K', form: deg },
  { name: 'high', couple: 'S', form: deg },
];

const board = (atS: number, text: string, link = ''): CaptureLine => ({
  at: START + atS * 1000,
  direction: '<',
  link,
  text,
});
const logged = (atS: number, entry: unknown): CaptureLine => ({
  at: START + atS * 1000,
  direction: '@',
  link: '',
  text: JSON.stringify(entry),
});
const hello = (atS: number, probes = TWO, name = 'shed-1', link = '') =>
  board(
    atS,
    formatBoardLine({
      kind: 'hello',
      hello: { board: name, boot: '9F00C2A1', periodMs: 1000, keeps: 0, probes },
    }),
    link,
  );
const reading = (atS: number, seq: number, values: RawValue[], link = '') =>
  board(
    atS,
    formatBoardLine({ kind: 'reading', seq, uptimeMs: (seq + 1) * 1000, coldJunctionC: 20, values }),
    link,
  );

interface Printed {
  kind: string;
  at: string;
  stage?: string;
  name?: string;
  state?: string;
  probe?: string | null;
  text?: string;
  probes?: Record<string, Record<string, unknown>>;
  kiln?: Record<string, unknown>;
}

function rerun(lines: CaptureLine[], everyS = 60): Printed[] {
  const printed: Printed[] = [];
  const state = newRerun(defaultPlan(), everyS * 1000, (line) => printed.push(JSON.parse(line) as Printed));
  for (const line of lines) rerunItem(state, line);
  return printed;
}

/** Seconds after the start. */
const seconds = ({ at }: Printed) => (Date.parse(at) - START) / 1000;
const readingsOf = (printed: Printed[]) => printed.filter(({ kind }) => kind === 'reading');

/** One reading a second from second 1 on. */
function steady(count: number, tempC: (seq: number) => number): CaptureLine[] {
  return Array.from({ length: count }, (_, seq) => reading(seq + 1, seq, [tempC(seq), tempC(seq) + 10]));
}

describe('what rerun prints', () => {
  it('has the fields of the format, and no others', () => {
    const [first] = rerun([hello(0), ...steady(3, () => 500)]);
    expect(Object.keys(first ?? {})).toEqual(['kind', 'at', 'stage', 'probes', 'kiln']);
    expect(first?.at).toBe('2031-03-08T05:00:01.000Z');
    expect(first?.stage).toBe('before');
    expect(Object.keys(first?.probes ?? {})).toEqual(['low', 'high']);
    const fields = ['temp_c', 'smooth_c', 'climb_c_per_h', 'climb_sd_c_per_h', 'cone', 'fault'];
    expect(Object.keys(first?.probes?.low ?? {})).toEqual(fields);
    expect(first?.probes?.high?.temp_c).toBe(510);
    expect(Object.keys(first?.kiln ?? {})).toEqual(['smooth_c', 'climb_c_per_h', 'climb_sd_c_per_h']);
    expect(first?.kiln?.smooth_c).toBe(505);
  });

  it('prints the first reading, then the first on or after each step of a grid that a gap does not move', () => {
    const lines = [hello(0), ...steady(200, () => 500)].filter(
      ({ at }) => at - START < 65_000 || at - START > 130_000,
    );
    // Steps at 1, 61, 121, 181 s; nothing came from 65 to 130 s, so one line for the step at 121 s, then on the grid again.
    expect(readingsOf(rerun(lines)).map(seconds)).toEqual([1, 61, 131, 181]);
    expect(readingsOf(rerun(lines, 50)).map(seconds)).toEqual([1, 51, 131, 151]);
  });

  it('prints nothing for a reading that comes late', () => {
    const lines = [
      hello(0),
      ...steady(10, () => 500).filter((_, place) => place !== 4),
      reading(10.5, 4, [500, 510]),
    ];
    expect(readingsOf(rerun(lines, 1)).map(seconds)).toEqual([1, 2, 3, 4, 6, 7, 8, 9, 10]);
  });

  it('lists the probes of every hello so far; one without a value for 5 periods has nulls and keeps its cone', () => {
    const spec: ProbeSpec = { name: 'back', couple: 'K', form: deg };
    const hot = Array.from({ length: 4000 }, (_, seq) =>
      reading(seq + 1, seq, [1000 + seq / 60, 1010 + seq / 60], 'a'),
    );
    const lines = [
      hello(0, TWO, 'shed-1', 'a'),
      ...hot,
      hello(4001, [spec], 'shed-2', 'b'),
      ...Array.from({ length: 20 }, (_, seq) => reading(4002 + seq, seq, [900], 'b')),
    ];
    const last = readingsOf(rerun(lines, 1)).at(-1);
    expect(Object.keys(last?.probes ?? {})).toEqual(['low', 'high', 'back']);
    expect(last?.probes?.back?.temp_c).toBe(900);
    expect(last?.probes?.low).toMatchObject({ temp_c: null, smooth_c: null, climb_c_per_h: null });
    // An hour at 1000 °C and more bends cone 07 (982 °C at 60 °C/h by the cone chart).
    expect(String(last?.probes?.low?.cone)).toMatch(/^0[1-7]/);
  });

  it('gives the converted reading before screening: a spike is in temp_c and not in smooth_c', () => {
    const lines = [hello(0), ...steady(100, (seq) => (seq === 60 ? 900 : 500))];
    const spike = readingsOf(rerun(lines, 1)).find((line) => seconds(line) === 61);
    expect(spike?.probes?.low?.temp_c).toBe(900);
    expect(Math.abs(Number(spike?.probes?.low?.smooth_c) - 500)).toBeLessThan(1);
  });

  it('puts alerts in time order among the readings, before a reading of the same time', () => {
    const open = Array.from({ length: 120 }, (_, seq) =>
      reading(seq + 1, seq, seq < 20 ? [500, 510] : [500, '!open']),
    );
    const printed = rerun([hello(0), ...open], 1);
    const times = printed.map(seconds);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    const place = printed.findIndex(({ kind }) => kind === 'alert');
    expect(printed[place]).toMatchObject({ name: 'probe-fault', state: 'raised', probe: 'high' });
    expect(Object.keys(printed[place] ?? {})).toEqual(['kind', 'at', 'name', 'state', 'probe', 'text']);
    const same = printed[place + 1];
    expect(same?.kind).toBe('reading');
    expect(seconds(same as Printed)).toBeGreaterThanOrEqual(seconds(printed[place] as Printed));
  });

  it('ticks on whole seconds: the silence of a board is told at its second, though nothing came then', () => {
    const lines = [hello(0), ...steady(10, () => 500), reading(400.25, 400, [500, 510])];
    const alerts = rerun(lines).filter(({ name }) => name === 'link-silent');
    expect(alerts.map(({ state }) => state)).toEqual(['raised', 'cleared']);
    // Silent for 60 s after second 10 (common sense of the default: 60 s or 15 periods, the longer).
    expect(alerts[0]?.at).toBe('2031-03-08T05:01:10.000Z');
  });

  it('goes by what was logged, and counts what it cannot read', () => {
    const lines = [
      hello(0),
      ...steady(5, () => 20),
      logged(6, { log: 'light-up' }),
      logged(7, { log: 'whistled', tune: 'any' }),
      board(8, 'noise'),
      reading(61, 60, [21, 22]),
    ];
    const printed: Printed[] = [];
    const state = newRerun(defaultPlan(), 60_000, (line) => printed.push(JSON.parse(line) as Printed));
    for (const line of lines) rerunItem(state, line);
    rerunItem(state, { at: START + 62_000, direction: '@', link: '', text: '{torn' });
    expect(readingsOf(printed).map(({ stage }) => stage)).toEqual(['before', 'candling']);
    expect(state.badLogs).toBe(1);
    const [desk] = state.pipeline.desks.values();
    expect(Object.values(desk?.counts.bad ?? {})).toEqual([1]);
  });
});
