/** The kiln from above, each probe at its place: 'front hotter than back' is seen, not read. */
import { useState } from 'preact/hooks';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { coneWords } from '../cone-words.ts';
import { type ProbeNow, pulledProbes } from '../firing.ts';
import { guessPlace, placed } from '../ground.ts';
import type { Moment } from '../moment.ts';
import { inOneUnit, saySpan, sayTemp } from '../say.ts';
import { PLACE_WORDS, SAY } from '../words.ts';

interface Props {
  moment: Moment;
  unit: TemperatureUnit;
  places: Record<string, number>;
  /** A probe that is silent for longer shows no figure, ms of firing time. */
  staleAfterMs: number;
  onPlace(probe: string, place: number): void;
}

function probeWords(probe: ProbeNow, pulled: boolean, now: number, staleAfterMs: number): string | null {
  if (pulled) return SAY.pulled;
  if (probe.fault !== null) return probe.fault;
  if (probe.at === null) return SAY.noReading;
  if (now - probe.at > staleAfterMs) return SAY.silentFor(saySpan(now - probe.at));
  return probe.note;
}

export function Ground({ moment, unit, places, staleAfterMs, onPlace }: Props) {
  const [arranging, setArranging] = useState(false);
  const { firing, log, now } = moment;
  const pulled = pulledProbes(log);
  const grid = placed(firing.probes, places);
  // A row or a column where nothing stands is left out: a phone is narrow.
  const rows = [0, 1, 2].filter((row) =>
    [0, 1, 2].some((column) => (grid[3 * row + column] ?? []).length > 0),
  );
  return (
    <section class="ground" aria-labelledby="ground-title">
      <div class="curve-head">
        <h2 id="ground-title">{SAY.ground}</h2>
        <button
          type="button"
          class="press choice"
          aria-pressed={arranging}
          onClick={() => setArranging(!arranging)}
        >
          {arranging ? SAY.arranged : SAY.arrange}
        </button>
      </div>
      <div class="kiln-floor">
        <p class="kiln-wall">{SAY.back}</p>
        {rows.map((row) => (
          <ul key={row} class="kiln-row">
            {[0, 1, 2]
              .flatMap((column) => grid[3 * row + column] ?? [])
              .map((probe) => {
                const words = inOneUnit(
                  probeWords(probe, pulled.has(probe.name), now, staleAfterMs) ?? '',
                  unit,
                );
                const silent = probe.at === null || now - probe.at > staleAfterMs || pulled.has(probe.name);
                return (
                  <li key={probe.name} class="probe" data-testid={`probe-${probe.name}`}>
                    <span class="probe-name">
                      {probe.name}{' '}
                      <span class="probe-couple">{probe.couple && SAY.couple(probe.couple)}</span>
                    </span>
                    <span class={`probe-temp ${probe.fault !== null ? 'is-doubted' : ''}`}>
                      {silent || probe.tempC === null ? (
                        SAY.noTemp
                      ) : (
                        <data value={probe.tempC.toFixed(2)}>{sayTemp(probe.tempC, unit)}</data>
                      )}
                    </span>
                    <span class="probe-cone">{coneWords(probe)}</span>
                    {words && <span class="probe-words">{words}</span>}
                    {arranging && (
                      <select
                        aria-label={SAY.placeOf(probe.name)}
                        value={String(places[probe.name] ?? guessPlace(probe.name))}
                        onChange={(event) => onPlace(probe.name, Number(event.currentTarget.value))}
                      >
                        {PLACE_WORDS.map((words, place) => (
                          <option key={words} value={String(place)}>
                            {words}
                          </option>
                        ))}
                      </select>
                    )}
                  </li>
                );
              })}
          </ul>
        ))}
        <p class="kiln-wall">{SAY.front}</p>
      </div>
      <p class="quiet">{SAY.groundHelp}</p>
    </section>
  );
}
