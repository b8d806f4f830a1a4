/** What the forecasts remember from one look at the kiln to the next. */
import type { Plan } from '../../../protocol/plan.ts';
import type { Stage } from '../../../protocol/stages.ts';
import type { Forecast } from '../inputs.ts';
import { type ClimbLearnt, newClimbLearnt } from './climb-ahead.ts';
import { type Cooling, newCooling } from './cooling.ts';

export interface ForecastState {
  climb: ClimbLearnt;
  cooling: Cooling;
  /** The last one, and what it was made for. */
  made: { forecast: Forecast; stage: Stage; plan: Plan } | null;
}

export function newForecastState(): ForecastState {
  return { climb: newClimbLearnt(), cooling: newCooling(), made: null };
}
