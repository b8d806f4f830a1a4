// Presses of the buttons. Nobody answers a `P`, so each is said twice: when it happens, and once more after the collector
// was next heard. If the cable was out meanwhile, the second one is the first that arrives.
#pragma once

#include <stdint.h>

namespace presses {

// Buttons that have just been pressed, button 1 in the lowest bit.
void take(uint8_t pressed);

void sayAgain();

}  // namespace presses
