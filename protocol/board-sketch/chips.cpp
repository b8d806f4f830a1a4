#include "chips.h"

#include <avr/io.h>

#include "pins.h"

namespace chips {

// Port B: the bus of an ATmega328P.
static constexpr uint8_t CLOCK_PIN = 13;
static constexpr uint8_t FROM_CHIP_PIN = 12;
static constexpr uint8_t TO_CHIP_PIN = 11;
// As long as this one is an output, the bus belongs to this board.
static constexpr uint8_t SLAVE_PIN = 10;

// 1 MHz; both chips bear 5.
static constexpr uint8_t BUS = _BV(SPE) | _BV(MSTR) | _BV(SPR0);
static constexpr uint8_t MODE_0 = BUS;
static constexpr uint8_t MODE_1 = BUS | _BV(CPHA);

// The MAX31856's registers by its data sheet, from memory.
namespace registers {
constexpr uint8_t CR0 = 0x00;
constexpr uint8_t CR1 = 0x01;
constexpr uint8_t MASK = 0x02;
constexpr uint8_t COLD_JUNCTION = 0x0a;
constexpr uint8_t COUPLE = 0x0c;
constexpr uint8_t FAULTS = 0x0f;
constexpr uint8_t COUNT = 0x10;
constexpr uint8_t WRITE = 0x80;
// CR0: convert all the time; look for an open couple (leads under 5 kΩ); filter for 50 instead of 60 Hz.
constexpr uint8_t CONVERT = 0x80;
constexpr uint8_t SEEK_OPEN = 0x10;
constexpr uint8_t FIFTY_HZ = 0x01;
// Faults: cold junction and couple out of range, voltage at the couple's input out of range, couple open.
constexpr uint8_t OUT_OF_RANGE = 0xc0;
constexpr uint8_t VOLTAGE = 0x02;
constexpr uint8_t OPEN = 0x01;
}  // namespace registers

static constexpr uint8_t FILTER = MAINS_HZ == 50 ? registers::FIFTY_HZ : 0;
static constexpr uint8_t WANTED_CR0 = registers::CONVERT | registers::SEEK_OPEN | FILTER;

static uint8_t transfer(uint8_t byte) {
  SPDR = byte;
  while (!(SPSR & _BV(SPIF))) {
  }
  return SPDR;
}

static void select(uint8_t pin, uint8_t mode) {
  SPCR = mode;
  pins::write(pin, false);
}

static void deselect(uint8_t pin) { pins::write(pin, true); }

// 32 bits, highest first: couple in 31..18 (a quarter °C), 16 any fault, cold junction in 15..4 (a sixteenth °C), 2 short to
// the supply, 1 short to ground, 0 open; 17 and 3 are always zero. By the chip's data sheet, from memory.
static void readMax31855(uint8_t pin, Value& coldJunction, Value& couple) {
  uint32_t word = 0;
  select(pin, MODE_0);
  for (uint8_t i = 0; i < 4; i += 1) word = word << 8 | transfer(0);
  deselect(pin);
  // All ones, or all zeros, come from a chip that is not there or has no supply.
  if (word == 0 || (word & 0x20008)) return;
  coldJunction = {(int16_t(word) >> 4) * 4, State::Measured};
  if (!(word & 0x10000))
    couple = {int32_t(word) >> 18, State::Measured};
  else if (word & 1)
    couple.state = State::Open;
  else if (word & 6)
    couple.state = State::Short;
}

static void writeRegister(uint8_t pin, uint8_t address, uint8_t value) {
  select(pin, MODE_1);
  transfer(registers::WRITE | address);
  transfer(value);
  deselect(pin);
}

static void setUpMax31856(uint8_t pin, uint8_t typeCode) {
  // The filter may only be chosen while nothing is converted.
  writeRegister(pin, registers::CR0, WANTED_CR0 & ~registers::CONVERT);
  writeRegister(pin, registers::CR1, typeCode);
  writeRegister(pin, registers::MASK, 0xff);
  writeRegister(pin, registers::CR0, WANTED_CR0);
}

// Couple: 19 bits from the top of three registers (1/128 °C); cold junction: 14 bits from the top of two (1/64 °C).
static void readMax31856(uint8_t pin, uint8_t typeCode, Value& coldJunction, Value& couple) {
  uint8_t read[registers::COUNT];
  select(pin, MODE_1);
  transfer(registers::CR0);
  for (uint8_t& byte : read) byte = transfer(0);
  deselect(pin);
  // It is not there, or it has lost its supply for a moment, and what it was told with it.
  if (read[registers::CR0] != WANTED_CR0 || read[registers::CR1] != typeCode) {
    setUpMax31856(pin, typeCode);
    return;
  }
  const uint8_t* cold = read + registers::COLD_JUNCTION;
  const uint8_t* hot = read + registers::COUPLE;
  coldJunction = {int16_t(cold[0] << 8 | cold[1]) >> 2, State::Measured};
  const uint8_t faults = read[registers::FAULTS];
  if (faults & registers::OPEN)
    couple.state = State::Open;
  else if (faults & registers::VOLTAGE)
    couple.state = State::Short;
  else if (faults & registers::OUT_OF_RANGE)
    couple.state = State::Range;
  else
    couple = {int32_t(uint32_t(hot[0]) << 24 | uint32_t(hot[1]) << 16 | uint16_t(hot[2]) << 8) >> 13,
              State::Measured};
}

static Chip chipOf(const Probe& probe) { return Chip(pgm_read_byte(&probe.chip)); }
static uint8_t pinOf(const Probe& probe) { return pgm_read_byte(&probe.selectPin); }
static uint8_t typeCode(const Probe& probe) { return typeCodeOf(pgm_read_byte(&probe.couple)); }

void begin() {
  pins::beOutput(SLAVE_PIN, true);
  for (const Probe& probe : PROBES) pins::beOutput(pinOf(probe), true);
  pins::beOutput(CLOCK_PIN, false);
  pins::beOutput(TO_CHIP_PIN, false);
  // So that a chip that is not there reads as all ones.
  pins::beInputPulledUp(FROM_CHIP_PIN);
  for (const Probe& probe : PROBES)
    if (chipOf(probe) == Chip::MAX31856) setUpMax31856(pinOf(probe), typeCode(probe));
}

void read(Value (&values)[CHANNELS]) {
  Value& coldJunction = values[0];
  coldJunction = {0, State::Nothing};
  bool fromLinear = false;
  for (uint8_t i = 0; i < PROBE_COUNT; i += 1) {
    const Probe& probe = PROBES[i];
    const bool linear = chipOf(probe) == Chip::MAX31855;
    Value own = {0, State::Nothing};
    Value& couple = values[1 + i];
    couple = {0, State::Nothing};
    if (linear)
      readMax31855(pinOf(probe), own, couple);
    else
      readMax31856(pinOf(probe), typeCode(probe), own, couple);
    // A line has one cold junction for all: the first one of a chip whose value is undone with it, else the first.
    const bool better = coldJunction.state != State::Measured || (linear && !fromLinear);
    if (own.state == State::Measured && better) {
      coldJunction = own;
      fromLinear = linear;
    }
  }
}

}  // namespace chips
