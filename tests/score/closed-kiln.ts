/**
 * The closed kiln until it may be opened, days later: at a coarser beat, straight into the core, for what the cooling
 * forecasts are worth.
 */
import type { Forecast } from '../../collector/core/inputs.ts';
import type { FiringState } from '../../collector/core/state.ts';
import { step } from '../../collector/core/step.ts';
import type { DemoBoard } from '../../collector/demo-kiln/demo-board.ts';
import { kilnStep } from '../../collector/demo-kiln/kiln.ts';
import { readProbe } from '../../collector/demo-kiln/probes.ts';

const STEP_S = 20;
const EVERY_STEPS = 3;
/** No kiln takes longer. */
const LONGEST_S = 10 * 86_400;

export interface ClosedKiln {
  forecasts: Forecast[];
  /** When the hottest place with a sound probe was first below the plan's unbricking heat: seconds since the start; null: never. */
  coolS: number | null;
}

/** Goes on with a kiln that was closed; `core` is used up. */
export function watchClosed(board: DemoBoard, core: FiringState): ClosedKiln {
  const { kiln, random } = board;
  const closed: ClosedKiln = { forecasts: [], coolS: null };
  const untilS = kiln.nowS + LONGEST_S;
  const lost = new Set(
    board.mishaps.flatMap(({ script, sinceS }) =>
      sinceS !== null && (script.what === 'opens' || script.what === 'drifts') ? [script.probe] : [],
    ),
  );
  const sound = board.probes.filter(({ spec }) => !lost.has(spec.name));
  const zones = (sound.length > 0 ? sound : board.probes).map(({ zone }) => zone);
  const everyMs = EVERY_STEPS * STEP_S * 1000;
  const hello = { ...board.hello, periodMs: everyMs };
  let { state } = step(core, { kind: 'hello', at: kiln.startMs + kiln.nowS * 1000, hello });
  let seq = 0;
  while (closed.coolS === null && kiln.nowS < untilS) {
    for (let i = 0; i < EVERY_STEPS; i += 1) kilnStep(kiln, STEP_S);
    const at = kiln.startMs + kiln.nowS * 1000;
    const values = board.probes.map((probe) => ({
      probe: probe.spec.name,
      raw: readProbe(probe, kiln.tipC[probe.zone], kiln.ambientC, board.mishaps, kiln.nowS, null, random),
    }));
    seq += 1;
    const stepped = step(state, {
      kind: 'reading',
      at,
      board: board.hello.board,
      boot: 'C0018000',
      seq,
      uptimeMs: seq * everyMs,
      coldJunctionC: kiln.ambientC,
      values,
      late: false,
    });
    state = stepped.state;
    for (const output of stepped.outputs)
      if (output.kind === 'forecast') closed.forecasts.push(output.forecast);
    const hottestC = Math.max(...zones.map((zone) => kiln.placeC[zone]));
    if (hottestC < state.plan.unbrickC) closed.coolS = kiln.nowS;
  }
  return closed;
}
