/** The couples in the kiln: one to four, of the kinds that potters buy. */
import { ZONES, type Zone } from '../../collector/demo-kiln/chamber.ts';
import type { DemoProbe } from '../../collector/demo-kiln/probes.ts';
import { type Random, uniform } from '../../collector/demo-kiln/random.ts';
import { formatProbeSpec, type ProbeForm } from '../../protocol/probes.ts';
import { between, pick } from './potters.ts';

/** The chip that takes a type K couple as linear. */
const LIN: ProbeForm = { kind: 'lin', uvPerC: 41.276 };

function placesOf(random: Random): Zone[] {
  const places = ZONES.map((zone) => ({ zone, by: uniform(random) }));
  places.sort((a, b) => a.by - b.by);
  return places.slice(0, pick(random, [1, 2, 2, 2, 3, 3, 4])).map(({ zone }) => zone);
}

export function probesOf(random: Random): { probes: DemoProbe[]; words: string } {
  const probes = placesOf(random).map((zone): DemoProbe => {
    const couple = pick(random, ['K', 'K', 'K', 'N', 'S', 'R'] as const);
    const forms: ProbeForm[] = [{ kind: 'uv' }, { kind: 'deg' }, ...(couple === 'K' ? [LIN] : [])];
    return {
      spec: { name: zone, couple, form: pick(random, forms) },
      zone,
      noiseC: between(random, 3, 20) / 10,
    };
  });
  return {
    probes,
    words: probes.map(({ spec, noiseC }) => `${formatProbeSpec(spec)} ±${noiseC}`).join(' '),
  };
}
