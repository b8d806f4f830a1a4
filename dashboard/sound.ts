/** The page's tones, made with Web Audio. A browser lets a page sound only after a touch on it, so it has to be armed. */
import type { AlertPriority } from '../protocol/alert-names.ts';
import { ALERT_TONES, type Tone } from '../protocol/alert-tones.ts';

/** And a tick for a press. */
const PATTERNS: Record<AlertPriority | 'press', readonly Tone[]> = {
  ...ALERT_TONES,
  press: [{ atMs: 0, forMs: 40, hz: 330 }],
};

/** The buzz of a phone in a pocket, ms on and off. */
const BUZZES: Record<AlertPriority | 'press', number[]> = {
  'come-now': [500, 200, 500, 200, 500],
  'look-soon': [200, 150, 200],
  note: [120],
  press: [30],
};

const PEAK_GAIN = 0.6;
const RAMP_S = 0.012;

export interface Sounder {
  /** Must be called from within a touch or a key press. */
  arm(): Promise<void>;
  silence(): Promise<void>;
  /** Whether a sound would be heard now, as far as the browser tells. */
  armed(): boolean;
  /** Whether someone asked for sound here. */
  wanted(): boolean;
  /** Sounds and buzzes where it can; tells how many tones were started. */
  play(pattern: AlertPriority | 'press'): number;
}

/** `changed` is called when the browser itself stops or restarts the sound. */
export function makeSounder(changed: () => void): Sounder {
  let context: AudioContext | null = null;
  let wanted = false;
  const armed = () => wanted && context?.state === 'running';

  return {
    async arm() {
      wanted = true;
      if (!context) {
        context = new AudioContext();
        context.onstatechange = changed;
      }
      await context.resume();
      changed();
    },
    async silence() {
      wanted = false;
      await context?.suspend();
      changed();
    },
    armed,
    wanted: () => wanted,
    play(pattern) {
      buzz(BUZZES[pattern]);
      if (!context || !armed()) return 0;
      const startS = context.currentTime + 0.02;
      for (const tone of PATTERNS[pattern]) startTone(context, startS, tone, pattern === 'press' ? 0.2 : 1);
      return PATTERNS[pattern].length;
    },
  };
}

function startTone(context: AudioContext, startS: number, tone: Tone, loudness: number): void {
  const from = startS + tone.atMs / 1000;
  const to = from + tone.forMs / 1000;
  const gain = context.createGain();
  // A soft edge: a tone that is cut off clicks.
  gain.gain.setValueAtTime(0, from);
  gain.gain.linearRampToValueAtTime(PEAK_GAIN * loudness, from + RAMP_S);
  gain.gain.setValueAtTime(PEAK_GAIN * loudness, to - RAMP_S);
  gain.gain.linearRampToValueAtTime(0, to);
  const oscillator = context.createOscillator();
  oscillator.type = 'triangle';
  oscillator.frequency.value = tone.hz;
  oscillator.connect(gain).connect(context.destination);
  oscillator.start(from);
  oscillator.stop(to);
}

function buzz(pattern: number[]): void {
  if (typeof navigator.vibrate === 'function' && navigator.userActivation?.hasBeenActive !== false)
    navigator.vibrate(pattern);
}
