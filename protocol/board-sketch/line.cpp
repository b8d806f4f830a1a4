#include "line.h"

#include <avr/pgmspace.h>
#include <stdlib.h>
#include <util/crc16.h>

#include "uart.h"

namespace line {

// CRC-16/CCITT-FALSE: avr-libc's XMODEM step, begun with FFFF.
static uint16_t crc;

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
  const uint32_t part = magnitude & ((uint32_t(1) << bits) - 1);
  if (part == 0) return;
  uint32_t micros = (part * 1000000 + (uint32_t(1) << bits >> 1)) >> bits;
  letter('.');
  for (uint32_t place = 100000; micros > 0; place /= 10) {
    letter('0' + micros / place);
    micros %= place;
  }
}

void end() {
  const uint16_t sum = crc;
  uart::put('*');
  for (uint8_t shift = 16; shift > 0; shift -= 4) uart::put(hexDigit((sum >> (shift - 4)) & 0xf));
  uart::put('\n');
}

}  // namespace line
