import { describe, expect, it } from 'vitest';
import { newPipeline, type PipelineOutput, pipelineStep } from '../../collector/firing/pipeline.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { defaultPlan } from '../../protocol/plan.ts';

const START = Date.UTC(2031, 2, 8, 5);
const deg = { kind: 'deg' } as const;
const hello = (boot: string) =>
  formatBoardLine({
    kind: 'hello',
    hello: {
      board: 'shed-1',
      boot,
      periodMs: 1000,
      keeps: 0,
      probes: [{ name: 'low', couple: 'K', form: deg }],
    },
  });
const reading = (seq: number) =>
  formatBoardLine({ kind: 'reading', seq, uptimeMs: seq * 1000, coldJunctionC: 20, values: [500] });

/** Lines at their seconds after the start, through one link. */
function run(lines: [number, string][], slackMs?: number): PipelineOutput[] {
  const pipeline = newPipeline(defaultPlan(), slackMs);
  const outputs = pipelineStep(pipeline, { kind: 'opened', at: START, link: '' });
  for (const [atS, text] of lines)
    outputs.push(...pipelineStep(pipeline, { kind: 'line', at: START + atS * 1000, link: '', text }));
  return outputs;
}

const readings = (outputs: PipelineOutput[]) =>
  outputs.flatMap((output) =>
    output.kind === 'reading'
      ? [{ seq: output.input.seq, s: (output.input.at - START) / 1000, late: output.input.late }]
      : [],
  );

describe('a reading that comes after its time', () => {
  it('keeps its own time and is late, if it waited long for a hello', () => {
    const first: [number, string][] = Array.from({ length: 60 }, (_, seq) => [seq + 1, reading(seq)]);
    const second: [number, string][] = Array.from({ length: 12 }, (_, seq) => [63 + seq, reading(seq)]);
    const outputs = run([
      [0, hello('0A0B0C0D')],
      ...first,
      ...second,
      [75.5, hello('0A0B0C0E')],
      [76, reading(13)],
    ]);
    const again = readings(outputs).slice(60);
    expect(again.map(({ seq }) => seq)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13]);
    const late = again.filter((each) => each.late);
    expect(late.length).toBeGreaterThan(6);
    for (const { seq, s } of late) expect(s).toBeCloseTo(63 + seq, 1);
    // The last few waited less than five seconds: they are put at the present, in their order.
    for (const { seq, s } of again.slice(late.length)) expect(Math.abs(s - 63 - seq)).toBeLessThanOrEqual(5);
    expect(again.at(-1)?.late).toBe(false);
  });

  it('is put at the present, and is not late, if only a moment went by', () => {
    const lines: [number, string][] = Array.from({ length: 30 }, (_, seq) => [seq + 1, reading(seq)]);
    // Five seconds on its way, where the core's time follows two behind the host's.
    const outputs = run([[0, hello('0A0B0C0D')], ...lines, [36, reading(30)], [36.1, reading(31)]], 2000);
    const [waited, next] = readings(outputs).slice(-2);
    expect(waited).toEqual({ seq: 30, s: 34, late: false });
    expect(next?.s).toBeGreaterThanOrEqual(34);
  });
});

describe('the order of what goes into the core', () => {
  it('can be read from the times alone: an entry never shares its millisecond with a reading before it', () => {
    const pipeline = newPipeline(defaultPlan());
    pipelineStep(pipeline, { kind: 'opened', at: START, link: '' });
    pipelineStep(pipeline, { kind: 'line', at: START, link: '', text: hello('0A0B0C0D') });
    const [taken] = pipelineStep(pipeline, {
      kind: 'line',
      at: START + 1000,
      link: '',
      text: reading(0),
    }).flatMap((output) => (output.kind === 'reading' ? [output.input.at] : []));
    const log = parseLogEntry({ log: 'light-up' });
    if (!log || taken === undefined) throw new Error('nothing to log, or no reading');
    const entries = pipelineStep(pipeline, { kind: 'log', at: taken, log });
    expect(entries.flatMap((output) => (output.kind === 'took-log' ? [output.at] : []))).toEqual([taken + 1]);
  });

  it('is the same whether ticks come each second or once after a while', () => {
    const lines: [number, string][] = Array.from({ length: 200 }, (_, seq) => [seq + 1, reading(seq)]);
    const script: [number, string][] = [[0, hello('0A0B0C0D')], ...lines.filter(([s]) => s < 80 || s > 190)];
    const seldom = run(script);
    const pipeline = newPipeline(defaultPlan());
    const often = pipelineStep(pipeline, { kind: 'opened', at: START, link: '' });
    let tickedS = 0;
    for (const [atS, text] of script) {
      for (; tickedS < atS; tickedS += 0.25)
        often.push(...pipelineStep(pipeline, { kind: 'tick', at: START + tickedS * 1000 }));
      often.push(...pipelineStep(pipeline, { kind: 'line', at: START + atS * 1000, link: '', text }));
    }
    const told = (outputs: PipelineOutput[]) =>
      outputs.filter(({ kind }) => kind === 'alert' || kind === 'reading');
    expect(told(often)).toEqual(told(seldom));
    expect(told(seldom).some((output) => output.kind === 'alert' && output.name === 'link-silent')).toBe(
      true,
    );
  });
});
