/** The life of an alert: delays, dead band, gaps, and never so often that it is chatter. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AlertLives, advanceAlerts } from '../../alerts/life.ts';
import type { Rule, Verdict } from '../../alerts/rule.ts';
import { ALL_RULES } from '../../alerts/rules/all.ts';
import type { KilnView } from '../../alerts/view.ts';
import { ALERT_NAMES } from '../../protocol/alert-names.ts';
import { MINUTE_MS, SECOND_MS, START_MS, viewOf } from '../support/kiln.ts';

/** A rule that says what it is told to. */
function scripted(onDelayS: number, offDelayS: number) {
  let verdicts: { probe: string | null; verdict: Verdict; offDelayMs?: number }[] = [];
  const rule: Rule = {
    name: 'stall',
    onDelayMs: onDelayS * SECOND_MS,
    offDelayMs: offDelayS * SECOND_MS,
    judge: () => verdicts.map((each) => ({ ...each, text: () => `it is ${each.verdict}` })),
  };
  return {
    rule,
    say: (...next: typeof verdicts) => {
      verdicts = next;
    },
  };
}

const VERDICTS: Record<string, Verdict> = { '+': 'on', '-': 'off', '=': 'between', '?': 'unknown' };

/** One verdict a second, as signs: + on, - off, = between, ? unknown. The changes as `second raised`. */
function run(signs: string, onDelayS: number, offDelayS: number): string[] {
  const { rule, say } = scripted(onDelayS, offDelayS);
  const lives: AlertLives = new Map();
  return [...signs].flatMap((sign, second) => {
    say({ probe: null, verdict: VERDICTS[sign] ?? 'off' });
    const view = viewOf({}, START_MS + second * SECOND_MS);
    return advanceAlerts(lives, [rule], view).map(({ state }) => `${second} ${state}`);
  });
}

describe('an alert', () => {
  it.each([
    {
      what: 'without a delay is raised and cleared at once',
      signs: '-++--',
      on: 0,
      off: 0,
      told: ['1 raised', '3 cleared'],
    },
    { what: 'is raised after its delay, not before', signs: '-++++', on: 3, off: 0, told: ['4 raised'] },
    { what: 'is not raised by what ends before', signs: '+++-+++-', on: 3, off: 0, told: [] },
    { what: 'is raised once', signs: '++++++++', on: 2, off: 0, told: ['2 raised'] },
    {
      what: 'is cleared after its delay, not before',
      signs: '+----',
      on: 0,
      off: 3,
      told: ['0 raised', '4 cleared'],
    },
    { what: 'is not cleared by what ends before', signs: '+--+---=', on: 0, off: 3, told: ['0 raised'] },
    { what: 'stays up in the dead band', signs: '+=======', on: 0, off: 2, told: ['0 raised'] },
    { what: 'stays down in the dead band', signs: '=======', on: 0, off: 2, told: [] },
    {
      what: 'counts its delay anew after the dead band',
      signs: '++=++++',
      on: 3,
      off: 0,
      told: ['6 raised'],
    },
    {
      what: 'lets its delay wait while nothing is known',
      signs: '++????++',
      on: 3,
      off: 0,
      told: ['7 raised'],
    },
    {
      what: 'lets its clearing wait while nothing is known',
      signs: '+--????--',
      on: 0,
      off: 3,
      told: ['0 raised', '8 cleared'],
    },
    {
      what: 'is neither raised nor cleared by nothing known',
      signs: '??+????????',
      on: 0,
      off: 0,
      told: ['2 raised'],
    },
    { what: 'is not cleared that was never raised', signs: '------', on: 0, off: 0, told: [] },
  ])('$what', ({ signs, on, off, told }) => {
    expect(run(signs, on, off)).toEqual(told);
  });

  it('is raised again at the earliest 4 min after the last time', () => {
    const [first, cleared, second, ...more] = run(`+-${'+'.repeat(400)}`, 0, 0);
    expect([first, cleared, second]).toEqual(['0 raised', '1 cleared', '240 raised']);
    expect(more).toEqual([]);
  });

  it('of one probe does not touch that of another', () => {
    const { rule, say } = scripted(0, 0);
    const lives: AlertLives = new Map();
    const at = (second: number) => viewOf({}, START_MS + second * SECOND_MS);
    say({ probe: 'low', verdict: 'on' }, { probe: 'high', verdict: 'off' });
    expect(advanceAlerts(lives, [rule], at(0)).map(({ probe, state }) => [probe, state])).toEqual([
      ['low', 'raised'],
    ]);
    say({ probe: 'low', verdict: 'off' }, { probe: 'high', verdict: 'on' });
    expect(advanceAlerts(lives, [rule], at(1)).map(({ probe, state }) => [probe, state])).toEqual([
      ['low', 'cleared'],
      ['high', 'raised'],
    ]);
  });

  it('has the time of the look, the priority of its name and the words of the finding', () => {
    const { rule, say } = scripted(0, 60);
    const lives: AlertLives = new Map();
    say({ probe: null, verdict: 'on' });
    expect(advanceAlerts(lives, [rule], viewOf({}, START_MS))).toEqual([
      { at: START_MS, name: 'stall', state: 'raised', probe: null, priority: 'look-soon', text: 'it is on' },
    ]);
    // A finding may have a delay of its own.
    say({ probe: null, verdict: 'off', offDelayMs: 0 });
    expect(advanceAlerts(lives, [rule], viewOf({}, START_MS + 1))[0]).toMatchObject({
      state: 'cleared',
      text: 'it is off',
    });
  });
});

describe('what an alert that stands says', () => {
  /** A figure that moves each second, for the verdicts as signs; what was said anew, with its second. */
  function fresh(signs: string, words: (second: number) => string, easesS?: number): string[] {
    const { rule, say } = scripted(0, 600);
    const lives: AlertLives = new Map();
    const told: string[] = [];
    for (const [second, sign] of [...signs].entries()) {
      const at = START_MS + second * SECOND_MS;
      say({ probe: null, verdict: VERDICTS[sign] ?? 'off' });
      const worded = {
        ...rule,
        ...(easesS === undefined ? {} : { easesMs: easesS * SECOND_MS }),
        judge: (view: KilnView) => rule.judge(view).map((each) => ({ ...each, text: () => words(second) })),
      };
      const changes = advanceAlerts(lives, [worded], viewOf({}, at), ({ text, easing }) =>
        told.push(`${second} ${text ?? (easing ? 'eases' : 'is as before')}`),
      );
      if (second > 0) expect(changes).toEqual([]);
    }
    return told;
  }

  it('is said anew once a minute, and is no new raise', () => {
    expect(fresh('+'.repeat(200), (second) => `${second} s`)).toEqual(['60 60 s', '120 120 s', '180 180 s']);
  });

  it('is not said anew in the same words', () => {
    expect(fresh('+'.repeat(200), (second) => (second < 100 ? 'so' : 'otherwise'))).toEqual([
      '120 otherwise',
    ]);
  });

  it('stays as it was in the dead band, without figures, and while it is about to clear', () => {
    for (const sign of '=?') expect(fresh(`+${sign.repeat(200)}`, (second) => `${second} s`)).toEqual([]);
    expect(fresh(`+${'-'.repeat(100)}`, (second) => `${second} s`)).toEqual([]);
  });

  it('is that it eases, once it could clear for 2 min, and that it does no more, once it could be raised for 2 min', () => {
    const eased = `+${'-'.repeat(150)}`;
    const onlyEases = ['121 eases'];
    expect(fresh(eased, () => 'so')).toEqual(onlyEases);
    for (const still of ['=', '?', '+=', '+-'])
      expect(fresh(`${eased}${still.repeat(200)}`, () => 'so')).toEqual(onlyEases);
    expect(fresh(`${eased}${'+'.repeat(119)}=${'+'.repeat(119)}`, () => 'so')).toEqual(onlyEases);
    expect(fresh(`${eased}${'+'.repeat(100)}${'?'.repeat(99)}`, () => 'so')).toEqual(onlyEases);
    for (const [between, at] of [
      ['', 271],
      ['='.repeat(300), 571],
    ] as const)
      expect(fresh(`${eased}${between}${'+'.repeat(130)}`, () => 'so').slice(0, 2)).toEqual([
        '121 eases',
        `${at} is as before`,
      ]);
    expect(fresh(`+${'-'.repeat(110)}=${'-'.repeat(110)}`, () => 'so')).toEqual([]);
  });

  it('is that it does not ease after all, where for 15 min it could neither clear nor be raised', () => {
    const eased = `+${'-'.repeat(150)}`;
    expect(fresh(`${eased}${'='.repeat(901)}`, () => 'so')).toEqual(['121 eases', '1051 is as before']);
    expect(fresh(`${eased}${'='.repeat(899)}-${'='.repeat(899)}`, () => 'so')).toEqual(['121 eases']);
    expect(fresh(`${eased}${'='.repeat(800)}${'?'.repeat(300)}${'='.repeat(101)}`, () => 'so')).toEqual([
      '121 eases',
      '1351 is as before',
    ]);
  });

  it('is that it eases when its rule says that it does', () => {
    expect(fresh(`+${'-'.repeat(310)}`, () => 'so', 300)).toEqual(['301 eases']);
  });
});

describe('no chatter', () => {
  const verdict = fc.constantFrom<Verdict>('on', 'off', 'between', 'unknown');
  const look = fc.record({
    verdict,
    stepMs: fc.oneof(fc.integer({ min: 0, max: 30 * SECOND_MS }), fc.constant(SECOND_MS)),
    offDelayMs: fc.option(fc.constantFrom(0, MINUTE_MS), { nil: undefined }),
  });

  it('whatever the verdicts, an alert is raised at most 3 times in any 10 min, and raised and cleared take turns', () => {
    fc.assert(
      fc.property(
        fc.array(look, { minLength: 50, maxLength: 300 }),
        fc.constantFrom(0, 1, 60),
        fc.constantFrom(0, 1, 60),
        (looks, onDelayS, offDelayS) => {
          const { rule, say } = scripted(onDelayS, offDelayS);
          const lives: AlertLives = new Map();
          const raises: number[] = [];
          let raised = false;
          let at = START_MS;
          for (const { verdict: next, stepMs, offDelayMs } of looks) {
            at += stepMs;
            say({ probe: null, verdict: next, ...(offDelayMs === undefined ? {} : { offDelayMs }) });
            for (const { state } of advanceAlerts(lives, [rule], viewOf({}, at))) {
              expect(state).toBe(raised ? 'cleared' : 'raised');
              expect(next).toBe(raised ? 'off' : 'on');
              raised = !raised;
              if (raised) raises.push(at);
            }
          }
          for (const first of raises) {
            const within = raises.filter((each) => each >= first && each <= first + 10 * MINUTE_MS);
            expect(within.length).toBeLessThanOrEqual(3);
          }
        },
      ),
      { numRuns: 100 },
    );
  });

  it('and the bound is met: the worst verdicts raise it 3 times in 10 min', () => {
    const told = run('+-'.repeat(301), 0, 0);
    expect(told.filter((each) => each.endsWith('raised'))).toEqual(['0 raised', '240 raised', '480 raised']);
  });
});

it('every alert that this project fixes has one rule', () => {
  expect(ALL_RULES.map(({ name }) => name).toSorted()).toEqual([...ALERT_NAMES].toSorted());
});
