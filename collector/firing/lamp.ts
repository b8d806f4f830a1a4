/** How loudly the board's lamp and buzzer must call: the most urgent alert that is up and that nobody has answered. */
import { type Standings, stateOf } from '../../alerts/standing.ts';
import type { AlertPriority } from '../../protocol/alert-names.ts';
import type { LampLevel } from '../../protocol/board-lines.ts';

const LEVEL: Record<AlertPriority, LampLevel> = { 'come-now': 2, 'look-soon': 1, note: 0 };

/** What eases, is shelved or suppressed calls nobody. */
export function lampLevel({ alerts }: Standings): LampLevel {
  let level: LampLevel = 0;
  for (const standing of alerts.values())
    if (stateOf(standing) === 'unacknowledged' && LEVEL[standing.priority] > level)
      level = LEVEL[standing.priority];
  return level;
}
