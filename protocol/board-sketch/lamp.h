// Lamp and buzzer: what the collector wants, and a sign of its own when nobody watches any more.
#pragma once

#include <stdint.h>

namespace lamp {

void begin();

// The collector says `L`.
void told(uint8_t level);

// Somebody at the kiln has pressed a button: a sign that nobody watches has been seen, and stops.
void answered();

// To be called at each tick.
void tick();

}  // namespace lamp
