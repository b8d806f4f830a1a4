#include "buttons.h"

#include "config.h"
#include "pins.h"

namespace buttons {

// A button is down or up once it has been so for three ticks in a row: a worn contact bounces for some 5 to 20 ms (common
// practice, no source).
static constexpr uint8_t STEADY_TICKS = 3;

static uint8_t down;
static uint8_t ticksOtherwise[BUTTON_COUNT];

void begin() {
  for (uint8_t i = 0; i < BUTTON_COUNT; i += 1) pins::beInputPulledUp(pgm_read_byte(&BUTTON_PINS[i]));
}

uint8_t tick() {
  uint8_t pressed = 0;
  for (uint8_t i = 0; i < BUTTON_COUNT; i += 1) {
    const uint8_t mask = 1 << i;
    const bool isDown = pins::isLow(pgm_read_byte(&BUTTON_PINS[i]));
    if (isDown == ((down & mask) != 0)) {
      ticksOtherwise[i] = 0;
    } else if (++ticksOtherwise[i] == STEADY_TICKS) {
      ticksOtherwise[i] = 0;
      down ^= mask;
      if (isDown) pressed |= mask;
    }
  }
  return pressed;
}

}  // namespace buttons
