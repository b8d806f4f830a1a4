// Eight hex digits that are new at each boot.
#pragma once

#include <stdint.h>

namespace bootId {

// Counts this boot in the EEPROM (one write a boot) and makes its id.
uint32_t make();

}  // namespace bootId
