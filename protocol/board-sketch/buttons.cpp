#include "buttons.h"

#include "config.h"
#include "pins.h"

namespace buttons {

// A button is down or up once it has been so for three ticks in a row: a worn contact bounces for some 5 to 20 ms (common
// practice, no source).
static constexpr uint8_t STEADY_TICKS = 3;

static uint8_t down;
static uint8_t ticksOtherwise[BUTTON_COUNT];

// Which buttons have contact, button 1 in the lowest bit.
template <uint8_t i>
static uint8_t contacts() {
  return (pins::isLow(BUTTON_PINS[i]) ? 1 << i : 0) | contacts<i + 1>();
}

template <>
uint8_t contacts<BUTTON_COUNT>() {
  return 0;
}

void begin() {
  for (uint8_t i = 0; i < BUTTON_COUNT; i += 1) pins::beInputPulledUp(pgm_read_byte(&BUTTON_PINS[i]));
}

uint8_t tick() {
  const uint8_t contact = contacts<0>();
  uint8_t pressed = 0;
  for (uint8_t i = 0; i < BUTTON_COUNT; i += 1) {
    const bool otherwise = ((contact ^ down) >> i) & 1;
    ticksOtherwise[i] = otherwise ? ticksOtherwise[i] + 1 : 0;
    if (ticksOtherwise[i] < STEADY_TICKS) continue;
    ticksOtherwise[i] = 0;
    down ^= 1 << i;
    pressed |= down & (1 << i);
  }
  return pressed;
}

}  // namespace buttons
