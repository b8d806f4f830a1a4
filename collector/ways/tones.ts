/** The loudspeaker's tones as WAV (RIFF, PCM of 16 bits, one channel), louder by step. Pure. */
import type { CallStep } from '../../protocol/alert-calls.ts';
import type { AlertPriority } from '../../protocol/alert-names.ts';
import { ALERT_TONES, type Tone } from '../../protocol/alert-tones.ts';

const RATE_HZ = 22_050;
const HEADER_BYTES = 44;
/** A soft edge: a tone that is cut off clicks. */
const RAMP_MS = 12;

/** Of full scale. Each step about doubles the loudness heard (6 dB is twice the amplitude). */
const AMPLITUDE: Record<CallStep, number> = { 1: 0.25, 2: 0.5, 3: 1 };

/** The whole file. */
export function toneWav(priority: AlertPriority, step: CallStep): Buffer {
  const tones = ALERT_TONES[priority];
  const endMs = Math.max(...tones.map(({ atMs, forMs }) => atMs + forMs)) + RAMP_MS;
  const samples = new Float64Array(Math.ceil((endMs / 1000) * RATE_HZ));
  for (const tone of tones) addTone(samples, tone, AMPLITUDE[step]);
  const wav = Buffer.alloc(HEADER_BYTES + samples.length * 2);
  writeHeader(wav, samples.length * 2);
  for (const [i, sample] of samples.entries())
    wav.writeInt16LE(Math.round(sample * 32_767), HEADER_BYTES + i * 2);
  return wav;
}

/** A triangle wave, which small loudspeakers give better than a pure tone. */
function addTone(samples: Float64Array, { atMs, forMs, hz }: Tone, amplitude: number): void {
  const from = Math.round((atMs / 1000) * RATE_HZ);
  const count = Math.round((forMs / 1000) * RATE_HZ);
  const ramp = (RAMP_MS / 1000) * RATE_HZ;
  for (let i = 0; i < count; i += 1) {
    const edge = Math.min(1, i / ramp, (count - i) / ramp);
    const phase = ((i * hz) / RATE_HZ) % 1;
    samples[from + i] = amplitude * edge * (1 - 4 * Math.abs(phase - 0.5));
  }
}

function writeHeader(wav: Buffer, dataBytes: number): void {
  wav.write('RIFF', 0);
  wav.writeUInt32LE(HEADER_BYTES - 8 + dataBytes, 4);
  wav.write('WAVEfmt ', 8);
  wav.writeUInt32LE(16, 16);
  wav.writeUInt16LE(1, 20);
  wav.writeUInt16LE(1, 22);
  wav.writeUInt32LE(RATE_HZ, 24);
  wav.writeUInt32LE(RATE_HZ * 2, 28);
  wav.writeUInt16LE(2, 32);
  wav.writeUInt16LE(16, 34);
  wav.write('data', 36);
  wav.writeUInt32LE(dataBytes, 40);
}
