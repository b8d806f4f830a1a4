// The board's time: milliseconds since boot in steps of TICK_MS, modulo 2^32.
#pragma once

#include <stdint.h>

namespace clock {

void begin();

// As of the last tick.
uint32_t uptimeMs();

// True once for each tick that has gone by.
bool ticked();

// Whether `ticked()` would be true. For use with interrupts off.
bool hasTicked();

}  // namespace clock
