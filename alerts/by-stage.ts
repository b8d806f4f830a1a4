/**
 * Suppressed by design (IEC 62682, ANSI/ISA-18.2): in which stages of a firing an alert has nothing to say. The rules
 * themselves clear there, after their delay; what is still up until then calls nobody.
 */
import type { AlertName } from '../protocol/alert-names.ts';
import { STAGES, type Stage } from '../protocol/stages.ts';

const FIRE: readonly Stage[] = ['candling', 'climbing', 'hold', 'salting', 'soak'];
const BURNING: readonly Stage[] = ['climbing', 'hold', 'salting', 'soak'];
const TO_SALT: readonly Stage[] = ['climbing', 'hold', 'salting'];
const NOT_OPEN: readonly Stage[] = ['before', ...FIRE, 'cooling'];

const SPEAKS_IN: Record<AlertName, readonly Stage[]> = {
  stall: ['climbing'],
  falling: ['climbing'],
  'climb-too-fast': ['candling', 'climbing', 'hold'],
  'salting-soon': TO_SALT,
  'salting-window': TO_SALT,
  'salt-pause': ['salting'],
  'over-heat': STAGES,
  uneven: FIRE,
  'probe-fault': NOT_OPEN,
  'board-hot': STAGES,
  'link-silent': NOT_OPEN,
  'draw-due': ['salting', 'soak'],
  'stoke-due': BURNING,
  'cooling-too-fast': ['cooling'],
  'ready-to-unbrick': ['cooling'],
  'archive-trouble': STAGES,
  'phone-silent': STAGES,
};

export function isSuppressed(name: AlertName, stage: Stage): boolean {
  return !SPEAKS_IN[name].includes(stage);
}
