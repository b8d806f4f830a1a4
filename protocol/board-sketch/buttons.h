// Push buttons to ground, debounced.
#pragma once

#include <stdint.h>

namespace buttons {

void begin();

// To be called at each tick. Which buttons have just been pressed, button 1 in the lowest bit.
uint8_t tick();

}  // namespace buttons
