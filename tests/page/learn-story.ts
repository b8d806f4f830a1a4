/** Figures of invented firings, straight up to salting heat and on, for the table and for firings beside each other. */
import type { FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import { LIT_AT, recordAt } from './story.ts';

export const MINUTE = 60_000;
export const HOUR = 60 * MINUTE;

interface Told {
  toSaltingH: number;
  woodKg?: number | null;
  stalls?: number;
  saltedMin?: number;
  weather?: string[];
  yield?: FiringFactsAnswer['yield'];
  troubles?: string[];
}

/** Lit at `litAt`, at 1205 °C so many hours later, closed 3 h after that. */
export function answerOf(told: Told, litAt = LIT_AT): FiringFactsAnswer {
  const { toSaltingH, woodKg = 1900, stalls = 0, saltedMin = 62 } = told;
  const tempC = Array.from({ length: 240 }, (_, i) => 20 + 5 * i);
  const hoursTo = (c: number) => (toSaltingH * (c - 15)) / 1190;
  const saltingHeatAt = litAt + toSaltingH * HOUR;
  return {
    facts: {
      litAt,
      saltingHeatAt,
      saltFrom: saltingHeatAt,
      saltTo: saltingHeatAt + saltedMin * MINUTE,
      closedAt: saltingHeatAt + 3 * HOUR,
      cooledAt: saltingHeatAt + 120 * HOUR,
      openedAt: null,
      topC: 1245,
      places: [
        { probe: 'front', topC: 1245, cone: 9.3, lost: false },
        { probe: 'back', topC: 1230, cone: -9, lost: true },
      ],
      woodKg,
      kgPerFaceCord: 580,
      stokes: woodKg === null ? 0 : 140,
      saltKg: 22.7,
      charges: 300,
      stalls,
      stallMs: stalls * 30 * MINUTE,
      tooFastMs: 0,
      pieces: 320,
      weather: told.weather ?? [],
      wayUp: {
        tempC,
        afterMs: tempC.map((c) => hoursTo(c) * HOUR),
        woodKg: tempC.map((c) => (woodKg === null ? null : (woodKg * c) / 1250)),
        saltKg: tempC.map(() => 0),
        stokes: tempC.map((c) => Math.round(c / 10)),
      },
    },
    yield: told.yield ?? null,
    troubles: told.troubles ?? [],
  };
}

const DAY = 24 * HOUR;

/** A past firing: the story's record, moved back by so many days. */
function pastRecord(id: string, name: string, daysAgo: number) {
  const record = recordAt(20);
  const back = (at: number) => at - daysAgo * DAY;
  return {
    ...record,
    firing: {
      ...record.firing,
      id,
      name,
      startedAt: back(LIT_AT),
      endedAt: back(LIT_AT + DAY),
      running: false,
    },
    curve: { ...record.curve, at: record.curve.at.map(back) },
    stages: record.stages.map(({ from, stage }) => ({ from: back(from), stage })),
    log: record.log.map((row) => ({ ...row, at: back(row.at), madeAt: back(row.madeAt) })),
    alerts: [],
  };
}

export const PAST = [pastRecord('a', 'Spring', 300), pastRecord('b', 'Autumn', 500)];
const share = (good: number) => ({ good, seconds: 0, lost: 100 - good, share: good / 100, places: [] });
export const FACTS = {
  '2031-03-08-long-meadow': answerOf({ toSaltingH: 15.2 }),
  a: answerOf({ toSaltingH: 16, yield: share(81), weather: ['Dry'] }, LIT_AT - 300 * DAY),
  b: answerOf({ toSaltingH: 14, stalls: 2, troubles: ['A row cannot be read.'] }, LIT_AT - 500 * DAY),
};
