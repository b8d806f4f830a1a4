import { describe, expect, it } from 'vitest';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { planSchema } from '../../protocol/plan.ts';

/** JSON texts, since what matters is what comes over a wire. */
const parse = (text: string) => parseLogEntry(JSON.parse(text));

describe('a plan with figures that cannot be', () => {
  it.each([
    ['a charge of nothing', { chargeG: 0 }],
    ['a charge too small to weigh', { chargeG: 1e-300 }],
    ['more salt than a lorry', { saltKg: 1e308 }],
    ['less than no salt', { saltKg: -1 }],
    ['a heat that is no number', { topC: Number.NaN }],
    ['a heat of the sun', { topC: 5500 }],
    ['a stall by no figure', { stallCPerH: 0 }],
    ['an endless hold', { holds: [{ atC: 600, minutes: 1e9 }] }],
    ['thousands of holds', { holds: Array.from({ length: 3000 }, (_, i) => ({ atC: i / 2, minutes: 1 })) }],
    ['thousands of limits', { climbLimits: Array.from({ length: 3000 }, () => ({ toC: 100, maxCPerH: 9 })) }],
    ['an offset from no day', { offsets: [{ probe: 'low', offsetC: 1, from: '2031-02-30T00:00:00Z' }] }],
    ['a page as a cone', { firingCone: '9'.repeat(10_000) }],
    ['two probes of one name', { plainBoard: { probes: [{ name: 'low' }, { name: 'low' }] } }],
    ['a button 9', { buttons: { '9': { log: 'stoke' } } }],
  ])('is none: %s', (_what, figures) => {
    expect(planSchema.safeParse(figures).success).toBe(false);
  });

  it('may use no salt at all, and every figure of a plan that a potter would give', () => {
    const plan = { saltKg: 0, chargeG: 40, topC: 1320, holds: [{ atC: 120, minutes: 600 }] };
    expect(planSchema.safeParse(plan).success).toBe(true);
  });
});

describe('a log entry out of hostile JSON', () => {
  it('reaches no prototype', () => {
    const entry = parse('{"log":"note","note":"x","__proto__":{"tainted":1},"constructor":{"prototype":1}}');
    expect(entry?.known).toBe(true);
    expect(Object.getPrototypeOf(entry?.entry)).toBe(Object.prototype);
    expect(Reflect.get({}, 'tainted')).toBeUndefined();
    expect(Reflect.get(entry?.entry ?? {}, 'tainted')).toBeUndefined();
  });

  it.each([
    ['a word without end', `{"log":"${'x'.repeat(81)}"}`],
    [
      'lists in one another without end',
      `{"log":"note","note":"x","a":${'['.repeat(5000)}${']'.repeat(5000)}}`,
    ],
    ['objects in one another', `{"log":"fog","a":${'{"a":'.repeat(5000)}1${'}'.repeat(5000)}}`],
    ['no word', '{"note":"x"}'],
    ['a list', '[{"log":"note","note":"x"}]'],
    ['nothing', 'null'],
  ])('is none: %s', (_what, text) => {
    expect(parse(text)).toBeNull();
  });

  it.each([
    ['salt beyond number', '{"log":"salt","hole":"left","g":1e999}'],
    ['a mountain of salt', '{"log":"salt","hole":"left","g":1e300}'],
    ['a forest', '{"log":"stoke","hole":"left","kg":1e300}'],
    ['a day that is none', '{"log":"light-up","at":"2031-02-30T00:00:00Z"}'],
  ])('counts for nothing, and is at most kept as it is: %s', (_what, text) => {
    expect(parse(text)?.known ?? false).toBe(false);
  });
});
