/**
 * A whole board: an ATmega328P at 16 MHz that runs the compiled sketch, thermocouple chips on its bus, buttons, a lamp and
 * a buzzer at its pins, and a serial port. Time is the board's own, in milliseconds since it first got its supply; it goes
 * on only when it is told to.
 */
import {
  AVRADC,
  AVRClock,
  AVREEPROM,
  AVRIOPort,
  AVRSPI,
  AVRTimer,
  AVRUSART,
  AVRWatchdog,
  adcConfig,
  CPU,
  clockConfig,
  EEPROMMemoryBackend,
  portBConfig,
  portCConfig,
  portDConfig,
  spiConfig,
  timer1Config,
  usart0Config,
  watchdogConfig,
} from 'avr8js';
import type { Firmware } from '../toolchain.ts';
import { RAM_BYTES, RAM_START } from '../toolchain.ts';
import type { SpiChip } from './chip.ts';
import { type Runner, runner } from './cpu.ts';

const HZ = 16_000_000;
const CYCLES_A_MS = HZ / 1000;
const EEPROM_BYTES = 1024;
const [MCUSR, WDTCSR, SPCR] = [0x54, 0x60, 0x4c];
const RX_ENABLED = 0x10;
const CPHA = 0x04;
/** What a reset leaves in MCUSR. */
const CAUSE = { power: 0x01, pin: 0x02, watchdog: 0x08 };
const WATCHDOG_ON = 0x08;
const WATCHDOG_CHANGE = 0x18;
const STACK_PAINT = 0xa5;

export interface BoardOptions {
  firmware: Firmware;
  /** Chips by the number of their select pin. */
  chips: ReadonlyMap<number, SpiChip>;
  /** Numbers from 0 up to 1: what the loose pin and the RAM hold at power-up. */
  random: () => number;
  /** Pins whose changes are written down. */
  watched?: readonly number[];
}

export interface PinChange {
  ms: number;
  pin: number;
  high: boolean;
}

export interface Board {
  readonly ms: number;
  /** Goes on until this time. */
  runTo(ms: number): void;
  /** Goes on until the program comes to a function. */
  runToFunction(name: string): void;
  /** Bytes that come in at its serial port, one after another at the port's own speed. */
  hear(bytes: Uint8Array): void;
  /** Called for each byte that it sends. */
  onByte: (byte: number) => void;
  /** A button's contact, which pulls its pin to ground. */
  setContact(pin: number, closed: boolean): void;
  /** The reset line is pulled low for a moment, as DTR does on boards whose auto-reset is not disabled. */
  reset(): void;
  /** The supply fails and comes back: what the RAM held is lost. */
  powerCycle(): void;
  /** Puts the program into an endless loop, as a fault would. */
  hang(): void;
  /** A variable of four bytes. */
  read(symbol: string): number;
  write(symbol: string, value: number): void;
  readonly memory: Uint8Array;
  readonly pinChanges: PinChange[];
  readonly awakeCycles: number;
  /** The bytes that the stack has never reached. */
  untouchedStack(): number;
}

interface Machine {
  cpu: CPU;
  run: Runner;
  usart: AVRUSART;
  ports: { D: AVRIOPort; B: AVRIOPort; C: AVRIOPort };
  resetAsked: boolean;
}

function place(pin: number): { port: 'D' | 'B' | 'C'; bit: number } {
  if (pin < 8) return { port: 'D', bit: pin };
  return pin < 14 ? { port: 'B', bit: pin - 8 } : { port: 'C', bit: pin - 14 };
}

export function startBoard(options: BoardOptions): Board {
  const { firmware, chips, random, watched = [] } = options;
  const eeprom = new EEPROMMemoryBackend(EEPROM_BYTES);
  const closed = new Set<number>();
  const pinChanges: PinChange[] = [];
  let incoming: number[] = [];
  let awakeBefore = 0;
  let machine = build(0, CAUSE.power, null);

  /** A processor that has just been reset, at this cycle, with this in its RAM (null: whatever a power-up leaves). */
  function build(cycles: number, cause: number, ram: Uint8Array | null): Machine {
    const cpu = new CPU(firmware.program.slice(), RAM_BYTES);
    cpu.cycles = cycles;
    if (ram === null) for (let i = RAM_START; i < cpu.data.length; i += 1) cpu.data[i] = random() * 256;
    else cpu.data.set(ram.subarray(RAM_START), RAM_START);
    cpu.data.fill(STACK_PAINT, firmware.ramBytes + RAM_START);
    cpu.data[MCUSR] = cause;
    const ports = {
      D: new AVRIOPort(cpu, portDConfig),
      B: new AVRIOPort(cpu, portBConfig),
      C: new AVRIOPort(cpu, portCConfig),
    };
    const timer = new AVRTimer(cpu, timer1Config);
    const usart = newUsart(cpu);
    const watchdog = new AVRWatchdog(cpu, watchdogConfig, new AVRClock(cpu, HZ, clockConfig));
    void new AVREEPROM(cpu, eeprom);
    const adc = new AVRADC(cpu, adcConfig);
    adc.onADCRead = () => {
      const noise = Math.floor(random() * 1024);
      cpu.addClockEvent(() => adc.completeADCRead(noise), adc.sampleCycles);
    };
    joinChips(cpu, ports);
    for (const pin of watched) watchPin(cpu, ports, pin);
    const made: Machine = {
      cpu,
      usart,
      ports,
      run: runner(cpu, timer, () => made.resetAsked),
      resetAsked: false,
    };
    // The library's watchdog resets the processor alone; here all that hangs on it is reset too.
    cpu.reset = () => {
      made.resetAsked = true;
    };
    if (cause === CAUSE.watchdog && watchdog) {
      // The real one stays on over its own reset, at its shortest time.
      cpu.writeData(WDTCSR, WATCHDOG_CHANGE);
      cpu.writeData(WDTCSR, WATCHDOG_ON);
    }
    for (let pin = 2; pin < 20; pin += 1) applyContact(ports, pin);
    return made;
  }

  function newUsart(cpu: CPU): AVRUSART {
    const usart = new AVRUSART(cpu, usart0Config, HZ);
    usart.onByteTransmit = (byte) => board.onByte(byte);
    usart.onRxComplete = feed;
    // The library forgets a byte that waits to be read whenever this register is written. The real port does not.
    const hook = cpu.writeHooks[usart0Config.UCSRB];
    if (!hook) throw new Error('the serial port has no control register');
    cpu.writeHooks[usart0Config.UCSRB] = (value, old, address, mask) =>
      hook(value, old & ~RX_ENABLED, address, mask);
    return usart;
  }

  function feed(): void {
    while (incoming.length > 0 && !machine.usart.rxBusy) {
      const byte = incoming.shift() ?? 0;
      // A board that is just starting does not listen yet.
      if (machine.usart.rxEnable) machine.usart.writeByte(byte);
    }
  }

  function joinChips(cpu: CPU, ports: Machine['ports']): void {
    const spi = new AVRSPI(cpu, spiConfig, HZ);
    let selected: SpiChip | null = null;
    for (const [pin, chip] of chips) {
      const { port, bit } = place(pin);
      let wasLow = false;
      ports[port].addListener((levels) => {
        const isOutput = ((cpu.data[ports[port].portConfig.DDR] ?? 0) >> bit) & 1;
        const isLow = isOutput === 1 && ((levels >> bit) & 1) === 0;
        if (isLow === wasLow) return;
        wasLow = isLow;
        if (isLow && selected !== null) throw new Error('two chips are selected at once');
        if (isLow) chip.select(cpu.cycles / CYCLES_A_MS, (cpu.data[SPCR] ?? 0) & CPHA ? 1 : 0);
        else chip.deselect();
        selected = isLow ? chip : null;
      });
    }
    spi.onByte = (byte) => {
      // With no chip selected the pull-up is read.
      const answer = selected?.transfer(byte) ?? 0xff;
      cpu.addClockEvent(() => spi.completeTransfer(answer), spi.transferCycles);
    };
  }

  function watchPin(cpu: CPU, ports: Machine['ports'], pin: number): void {
    const { port, bit } = place(pin);
    let was = false;
    ports[port].addListener((levels) => {
      const high = ((levels >> bit) & 1) === 1;
      if (high === was) return;
      was = high;
      pinChanges.push({ ms: cpu.cycles / CYCLES_A_MS, pin, high });
    });
  }

  function applyContact(ports: Machine['ports'], pin: number): void {
    const { port, bit } = place(pin);
    ports[port].setPin(bit, !closed.has(pin));
  }

  function restart(cause: number, ram: Uint8Array | null): void {
    awakeBefore += machine.run.awakeCycles;
    incoming = [];
    machine = build(machine.cpu.cycles, cause, ram);
  }

  const board: Board = {
    get ms() {
      return machine.cpu.cycles / CYCLES_A_MS;
    },
    runTo: (ms) => {
      while (machine.cpu.cycles < ms * CYCLES_A_MS) {
        machine.run.runTo(ms * CYCLES_A_MS);
        if (machine.resetAsked) restart(CAUSE.watchdog, machine.cpu.data);
      }
    },
    runToFunction: (name) => machine.run.runToAddress(firmware.address(name)),
    hear: (bytes) => {
      incoming.push(...bytes);
      feed();
    },
    onByte: () => undefined,
    setContact: (pin, isClosed) => {
      if (isClosed) closed.add(pin);
      else closed.delete(pin);
      applyContact(machine.ports, pin);
    },
    reset: () => restart(CAUSE.pin, machine.cpu.data),
    powerCycle: () => restart(CAUSE.power, null),
    hang: () => {
      // `rjmp .`: the loop that a program falls into when `main` returns.
      const loop = firmware.program.indexOf(0xcfff);
      if (loop < 0) throw new Error('the program has no endless loop');
      machine.cpu.pc = loop;
    },
    read: (symbol) => machine.cpu.dataView.getUint32(firmware.address(symbol), true),
    write: (symbol, value) => machine.cpu.dataView.setUint32(firmware.address(symbol), value >>> 0, true),
    get memory() {
      return machine.cpu.data;
    },
    pinChanges,
    get awakeCycles() {
      return awakeBefore + machine.run.awakeCycles;
    },
    untouchedStack: () => {
      const { data } = machine.cpu;
      const start = firmware.ramBytes + RAM_START;
      let end = start;
      while (data[end] === STACK_PAINT) end += 1;
      return end - start;
    },
  };
  return board;
}
