/** Rows of log.csv that only the collector writes. */
import type { Hello } from '../../protocol/board-lines.ts';
import type { AlertOutput } from '../core/inputs.ts';

export function alertRow({ at, name, state, probe, priority, text }: AlertOutput) {
  return {
    at,
    madeAt: at,
    who: '',
    where: 'collector',
    log: 'alert',
    json: { name, state, probe, priority, text },
    replaces: null,
  };
}

export function helloRow(at: number, hello: Hello) {
  return { at, madeAt: at, who: '', where: 'collector', log: 'hello', json: { ...hello }, replaces: null };
}
