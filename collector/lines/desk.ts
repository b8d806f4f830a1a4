/** The desk of a link: what is made of the lines of one board. Pure: no clock, no input or output of its own. */
import type { Plan } from '../../protocol/plan.ts';
import type { DeskCounts, DeskInput, DeskOutput } from './desk-types.ts';

export type { BadWhy, DeskCounts, DeskInput, DeskOutput, KeptReading } from './desk-types.ts';

export interface Desk {
  readonly link: string;
  readonly counts: DeskCounts;
  plain: Plan['plainBoard'];
}
export declare function openDesk(options: { link: string; plain: Plan['plainBoard'] }): Desk;
export declare function deskStep(desk: Desk, input: DeskInput): DeskOutput[];
