// Writes lines to the collector: `$` body `*` CRC, a field at a time, straight into the serial port.
#pragma once

#include <stdint.h>

namespace line {

// `$` and the line's letter.
void begin(char letter);

// A comma: the next field begins. With nothing put into it, it says 'not measured'.
void field();

void letter(char c);

// Text in program memory.
void text_P(const char* text);

void counter(uint32_t value);

// Eight upper-case hex digits.
void hex(uint32_t value);

// `code` / 2^bits, bits at most 7, with as many decimals as it needs, but six at most: where that rounds, a half goes away
// from zero. No two codes come out the same.
void number(int32_t code, uint8_t bits);

// `*`, the CRC and LF.
void end();

}  // namespace line
