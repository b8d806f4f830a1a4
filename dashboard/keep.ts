/** What the page remembers in the browser. Where the browser keeps nothing (a private window), it works without. */
import type { z } from 'zod';

/** What was kept under this name, if it still reads as what it should be; else `otherwise`. */
export function recall<T>(storage: Storage | null, name: string, schema: z.ZodType<T>, otherwise: T): T {
  try {
    const text = storage?.getItem(`spyhole.${name}`);
    if (text === null || text === undefined) return otherwise;
    const parsed = schema.safeParse(JSON.parse(text));
    return parsed.success ? parsed.data : otherwise;
  } catch {
    return otherwise;
  }
}

/** Keeps a value; false if the browser would not take it. */
export function remember(storage: Storage | null, name: string, value: unknown): boolean {
  try {
    storage?.setItem(`spyhole.${name}`, JSON.stringify(value));
    return storage !== null;
  } catch {
    return false;
  }
}

/** The browser's store, or null where it is shut off (asking for it alone may throw). */
export function browserStorage(): Storage | null {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}
