/** Keeps the screen on (W3C Screen Wake Lock). The browser lets go whenever the page is hidden: it is taken again when it shows. */

export type AwakeStanding =
  /** The page did not come over HTTPS. */
  | 'not-secure'
  | 'cannot'
  | 'off'
  | 'on'
  /** It was asked for, and the browser has let go or does not give it: a battery saver, say. */
  | 'lost';

export interface Awake {
  standing(): AwakeStanding;
  keepOn(): Promise<void>;
  letGo(): Promise<void>;
}

/** `changed` is called when it stands otherwise. */
export function makeAwake(changed: () => void): Awake {
  let wanted = false;
  let lock: WakeLockSentinel | null = null;

  const take = async () => {
    if (!wanted || lock !== null || document.hidden) return;
    try {
      const taken = await navigator.wakeLock.request('screen');
      lock = taken;
      taken.addEventListener('release', () => {
        if (lock === taken) lock = null;
        changed();
      });
      if (!wanted) await taken.release();
    } catch {
      // It is told as lost, and tried again at the next press or when the page shows again.
    }
    changed();
  };
  document.addEventListener('visibilitychange', () => void take());

  return {
    standing() {
      if (!window.isSecureContext) return 'not-secure';
      if (!('wakeLock' in navigator)) return 'cannot';
      if (!wanted) return 'off';
      // A page that is not looked at needs no light.
      return lock !== null || document.hidden ? 'on' : 'lost';
    },
    async keepOn() {
      wanted = true;
      await take();
    },
    async letGo() {
      wanted = false;
      const held = lock;
      lock = null;
      await held?.release();
      changed();
    },
  };
}
