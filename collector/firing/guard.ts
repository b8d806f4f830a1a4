/**
 * Keeps a fault of the program's own from ending the watch, or from stopping it unseen: the work it struck is left out,
 * everything else goes on, and it is told.
 */

/** Runs `work`; the answer is null, or in one sentence that and why it was left out. */
export type Guard = (work: () => void) => string | null;

/** A fault that comes with every reading is told once, and of ever new ones no more than this. */
const MOST_TOLD = 20;

/** `tell` is called once for each kind of fault. */
export function newGuard(tell: (sentence: string) => void): Guard {
  const told = new Set<string>();
  return (work) => {
    try {
      work();
      return null;
    } catch (cause) {
      const why = cause instanceof Error ? cause.message : String(cause);
      const sentence = `A fault in Spyhole itself (${why}): what it struck was left out, and the watch goes on.`;
      if (!told.has(why) && told.size < MOST_TOLD) {
        told.add(why);
        tell(sentence);
      }
      return sentence;
    }
  };
}
