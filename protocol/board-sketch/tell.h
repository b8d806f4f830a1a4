// The board's own lines: hello, reading, button, missing.
#pragma once

#include "reading.h"

namespace tell {

void begin(uint32_t bootId);

void hello();
void reading(uint32_t seq, const Reading& reading);
void press(uint32_t seq, uint32_t uptimeMs, uint8_t button);
void missing(uint32_t from, uint32_t to);

}  // namespace tell
