/**
 * Runs a program on avr8js's processor, and lets time pass fast while it sleeps: a SLEEP jumps to the next thing that can
 * happen. The library steps its timers one count after another; while the processor sleeps those steps are left out up to
 * shortly before the compare match that the sketch waits for.
 */
import { type AVRTimer, avrInstruction, type CPU } from 'avr8js';

const SLEEP = 0x9588;
const SEI = 0x9478;
const SMCR = 0x53;
const [TCCR1B, TCNT1, OCR1A] = [0x81, 0x84, 0x88];
const TIMER_DIVIDERS = [0, 1, 8, 64, 256, 1024, 0, 0];

interface ClockEvent {
  callback: () => void;
  cycles: number;
  next: ClockEvent | null;
}

export interface Runner {
  /** Until so many cycles have gone by; it ends early if `stop` says so, which is asked now and then. */
  runTo(cycles: number): void;
  /** Until the program counter is at this byte address. Throws after a second of the processor's time. */
  runToAddress(address: number): void;
  /** The part of the time that was not slept, in cycles. */
  readonly awakeCycles: number;
}

/** `interrupted` ends a run early: the processor is to be reset. */
export function runner(cpu: CPU, timer: AVRTimer, interrupted: () => boolean): Runner {
  let asleep = false;
  let awakeCycles = 0;
  // The library keeps its queue to itself.
  const nextEvent = () => Reflect.get(cpu, 'nextClockEvent') as ClockEvent | null;
  const timerStep: unknown = Reflect.get(timer, 'count');

  /** Nothing that the timer does before this can be seen. */
  const timerQuietUntil = () => {
    const divider = TIMER_DIVIDERS[(cpu.data[TCCR1B] ?? 0) & 7] ?? 0;
    if (divider === 0) return Number.POSITIVE_INFINITY;
    cpu.readData(TCNT1);
    const now = cpu.dataView.getUint16(TCNT1, true);
    const match = cpu.dataView.getUint16(OCR1A, true);
    const counts = now < match ? match - now : match + 1;
    return cpu.cycles + (counts - 1) * divider;
  };
  const sleepOn = (until: number) => {
    let event = nextEvent();
    const soonest = event?.cycles ?? Number.POSITIVE_INFINITY;
    while (event !== null && event.callback === timerStep) event = event.next;
    const target = Math.min(event?.cycles ?? Number.POSITIVE_INFINITY, timerQuietUntil());
    cpu.cycles = Math.max(cpu.cycles, Math.min(until, target > cpu.cycles ? target : soonest));
    const { pc } = cpu;
    cpu.tick();
    asleep = cpu.pc === pc;
  };
  const step = () => {
    const opcode = cpu.progMem[cpu.pc];
    const before = cpu.cycles;
    avrInstruction(cpu);
    awakeCycles += cpu.cycles - before;
    if (opcode === SLEEP && (cpu.data[SMCR] ?? 0) & 1) {
      if ((cpu.data[SMCR] ?? 0) & 0x0e)
        throw new Error('in any sleep but idle the serial port hears nothing');
      asleep = true;
    } else if (opcode !== SEI) {
      // After SEI one more instruction comes before any interrupt.
      cpu.tick();
    }
  };
  return {
    get awakeCycles() {
      return awakeCycles;
    },
    runTo: (cycles) => {
      while (cpu.cycles < cycles && !interrupted()) {
        if (asleep) sleepOn(cycles);
        else step();
      }
    },
    runToAddress: (address) => {
      const patience = cpu.cycles + 16_000_000;
      while (cpu.pc * 2 !== address) {
        if (cpu.cycles > patience) throw new Error(`the program never came to ${address.toString(16)}`);
        if (asleep) sleepOn(patience);
        else step();
      }
    },
  };
}
