// Pins by the number that is printed on the board: 0 to 7 are port D, 8 to 13 port B, 14 to 19 (A0 to A5) port C. Where the
// number is a constant, each of these becomes an instruction or two.
#pragma once

#include <avr/io.h>

#define SPYHOLE_INLINE inline __attribute__((always_inline))

namespace pins {

SPYHOLE_INLINE uint8_t maskOf(uint8_t pin) { return 1 << (pin < 8 ? pin : pin < 14 ? pin - 8 : pin - 14); }

SPYHOLE_INLINE void write(uint8_t pin, bool high) {
  volatile uint8_t& port = pin < 8 ? PORTD : pin < 14 ? PORTB : PORTC;
  if (high)
    port |= maskOf(pin);
  else
    port &= ~maskOf(pin);
}

SPYHOLE_INLINE void beOutput(uint8_t pin, bool high) {
  write(pin, high);
  volatile uint8_t& direction = pin < 8 ? DDRD : pin < 14 ? DDRB : DDRC;
  direction |= maskOf(pin);
}

SPYHOLE_INLINE void beInputPulledUp(uint8_t pin) {
  volatile uint8_t& direction = pin < 8 ? DDRD : pin < 14 ? DDRB : DDRC;
  direction &= ~maskOf(pin);
  write(pin, true);
}

SPYHOLE_INLINE bool isLow(uint8_t pin) {
  const uint8_t levels = pin < 8 ? PIND : pin < 14 ? PINB : PINC;
  return (levels & maskOf(pin)) == 0;
}

}  // namespace pins
