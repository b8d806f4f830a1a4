// The thermocouple chips on the SPI bus.
#pragma once

#include "reading.h"

namespace chips {

void begin();

// Reads every chip. A chip that does not answer, or not as its kind does, gives `Nothing`.
void read(Value (&values)[CHANNELS]);

}  // namespace chips
