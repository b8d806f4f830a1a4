#include "line.h"

#include <avr/pgmspace.h>
#include <stdlib.h>
#include <util/crc16.h>

#include "uart.h"

namespace line {

// CRC-16/CCITT-FALSE: avr-libc's XMODEM step, begun with FFFF.
static uint16_t crc;

static constexpr uint8_t MOST_DECIMALS = 6;

static char hexDigit(uint8_t nibble) { return nibble < 10 ? '0' + nibble : 'A' - 10 + nibble; }

static void text(const char* from) {
  while (*from) letter(*from++);
}

void begin(char first) {
  uart::put('$');
  crc = 0xffff;
  letter(first);
}

void letter(char c) {
  crc = _crc_xmodem_update(crc, c);
  uart::put(c);
}

void field() { letter(','); }

void text_P(const char* from) {
  while (const char c = pgm_read_byte(from++)) letter(c);
}

void counter(uint32_t value) {
  char digits[11];
  text(ultoa(value, digits, 10));
}

void hex(uint32_t value) {
  for (uint8_t i = 0; i < 8; i += 1, value <<= 4) letter(hexDigit(value >> 28));
}

void number(int32_t code, uint8_t bits) {
  if (code < 0) letter('-');
  const uint32_t magnitude = code < 0 ? -code : code;
  counter(magnitude >> bits);
  uint8_t part = magnitude & ((1 << bits) - 1);
  if (part == 0) return;
  letter('.');
  for (uint8_t place = 1; part > 0 && place <= MOST_DECIMALS; place += 1) {
    const uint16_t tenfold = part * 10;
    part = tenfold & ((1 << bits) - 1);
    // What is left behind the sixth decimal is 5 in the seventh, and the sixth is 2 or 7: rounding carries nowhere.
    const uint8_t roundUp = place == MOST_DECIMALS && part > 0;
    letter('0' + (tenfold >> bits) + roundUp);
  }
}

void end() {
  const uint16_t sum = crc;
  uart::put('*');
  for (uint8_t shift = 16; shift > 0; shift -= 4) uart::put(hexDigit((sum >> (shift - 4)) & 0xf));
  uart::put('\n');
}

}  // namespace line
