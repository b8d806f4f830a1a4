/** How loudly the board's lamp and buzzer must call: the most urgent alert that is up and that nobody has answered. */
import type { AlertName, AlertPriority } from '../../protocol/alert-names.ts';
import type { LampLevel } from '../../protocol/board-lines.ts';
import type { AlertOutput } from '../core/inputs.ts';

const LEVEL: Record<AlertPriority, LampLevel> = { 'come-now': 2, 'look-soon': 1, note: 0 };

/** Alerts that are up, by `<name>/<probe or empty>/<raised at>`, with how loudly each calls. */
export type LampState = Map<string, LampLevel>;

export function alertId(name: AlertName, probe: string | null, raisedAt: number): string {
  return `${name}/${probe ?? ''}/${raisedAt}`;
}

export function lampAlert(lamp: LampState, { name, probe, at, state, priority }: AlertOutput): void {
  if (state === 'raised') {
    lamp.set(alertId(name, probe, at), LEVEL[priority]);
    return;
  }
  const prefix = `${name}/${probe ?? ''}/`;
  for (const id of [...lamp.keys()]) if (id.startsWith(prefix)) lamp.delete(id);
}

/** Somebody has answered the alert. */
export function lampHeard(lamp: LampState, id: string): void {
  if (lamp.has(id)) lamp.set(id, 0);
}

export function lampLevel(lamp: LampState): LampLevel {
  let level: LampLevel = 0;
  for (const each of lamp.values()) if (each > level) level = each;
  return level;
}
