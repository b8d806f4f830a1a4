#include "boot-id.h"

#include <avr/eeprom.h>
#include <avr/io.h>
#include <util/crc16.h>

#include "config.h"

namespace bootId {

// Left as it is at boot: after a power-up whatever the RAM came up with, after a reset what the last boot left there.
static uint16_t leftOver __attribute__((section(".noinit")));

static constexpr uint8_t SAMPLES = 32;

// The lowest bits of a pin with nothing on it, measured against the supply.
static uint16_t noise() {
  ADMUX = _BV(REFS0) | (LOOSE_PIN - A_PIN(0));
  ADCSRA = _BV(ADEN) | _BV(ADPS2) | _BV(ADPS1);
  uint16_t sum = leftOver;
  for (uint8_t i = 0; i < SAMPLES; i += 1) {
    ADCSRA |= _BV(ADSC);
    while (ADCSRA & _BV(ADSC)) {
    }
    sum = _crc_xmodem_update(sum, ADCL);
    sum = _crc_xmodem_update(sum, ADCH);
  }
  ADCSRA = 0;
  return sum;
}

// Turns 32 bits into others, each into one of its own, so that neighbours look nothing alike: the end of MurmurHash3 (A.
// Appleby, public domain; from memory).
static uint32_t mixed(uint32_t bits) {
  bits ^= bits >> 16;
  bits *= 0x85ebca6b;
  bits ^= bits >> 13;
  bits *= 0xc2b2ae35;
  return bits ^ bits >> 16;
}

uint32_t make() {
  uint16_t* const counter = reinterpret_cast<uint16_t*>(2);
  const uint16_t boots = eeprom_read_word(counter) + 1;
  eeprom_update_word(counter, boots);
  leftOver = noise();
  // The counter makes it new on this board, the noise makes it another one than that of another board.
  return mixed(uint32_t(boots) << 16 | leftOver);
}

}  // namespace bootId
