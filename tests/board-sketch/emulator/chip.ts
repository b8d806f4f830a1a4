/** What the thermocouple chips have in common: they hang on the SPI bus, and say what is at their couple. */

/** What is at a chip's couple: a number in the chip's own steps, or a fault. */
export type AtCouple = number | 'open' | 'short-to-ground' | 'short-to-supply' | 'over-voltage' | 'range';

/** The outer world of a chip as a function of time since power-up, in milliseconds. */
export interface ChipWorld {
  couple(ms: number): AtCouple;
  /** The chip's own temperature, in its own steps. */
  coldJunction(ms: number): number;
}

export interface SpiChip {
  /** Its select line goes low. `phase`: the bus clock's CPHA as it then is. */
  select(ms: number, phase: 0 | 1): void;
  /** A byte each way. */
  transfer(byte: number): number;
  deselect(): void;
  /** What it has told in each of its readings: couple and cold junction, in its own steps. */
  readonly told: { ms: number; couple: AtCouple; coldJunction: number }[];
}
