/** What is typed behind an option, read; what makes no sense is refused in one sentence. */
import { InvalidArgumentError } from 'commander';
import { z } from 'zod';
import { COUPLE_TYPES } from '../../../protocol/probes.ts';

/** A firing of a week in six seconds, or a minute of it in an hour and a half: beyond, nothing is seen any more. */
const SPEEDS = { slowest: 0.01, fastest: 100_000 };

export const positive = (text: string): number => numberOf(text, z.number().positive(), 'a number above 0');
export const speed = (text: string): number =>
  numberOf(
    text,
    z.number().min(SPEEDS.slowest).max(SPEEDS.fastest),
    `a number from ${SPEEDS.slowest} to ${SPEEDS.fastest}`,
  );
export const port = (text: string): number =>
  numberOf(text, z.number().int().min(1).max(65_535), 'a port from 1 to 65535');
export const listening = (text: string): number =>
  numberOf(text, z.number().min(1).max(600), 'seconds from 1 to 600');
export const whole = (text: string): number =>
  numberOf(
    text,
    z
      .number()
      .int()
      .min(0)
      .max(2 ** 32 - 1),
    'a whole number',
  );

function numberOf(text: string, schema: z.ZodNumber, what: string): number {
  const parsed = schema.safeParse(text.trim() === '' ? Number.NaN : Number(text));
  if (!parsed.success) throw new InvalidArgumentError(`It must be ${what}.`);
  return parsed.data;
}

/** `front,back` or `front:K,back:S`: what each number of a plain board is. */
export function plainProbes(text: string): { name: string; couple: (typeof COUPLE_TYPES)[number] }[] {
  return text.split(',').map((probe) => {
    const match = /^([a-z0-9-]{1,16})(?::([BEJKNRST]))?$/.exec(probe.trim());
    if (!match?.[1])
      throw new InvalidArgumentError(
        'Give names of a-z, 0-9 and -, parted by commas: front,back or front:K,back:S.',
      );
    return { name: match[1], couple: COUPLE_TYPES.find((couple) => couple === match[2]) ?? 'K' };
  });
}

/** Every value of an option that may be given several times. */
export const each = (text: string, before: string[]): string[] => [...before, text];
