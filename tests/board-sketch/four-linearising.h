// A board for tests: four linearising chips, as fast as it goes, in a land of 60 Hz.
#pragma once

#include "board.h"

static constexpr char BOARD_ID[] PROGMEM = "b";
static constexpr uint32_t PERIOD_MS = 200;
static constexpr Probe PROBES[] PROGMEM = {
    {"a", 'B', Chip::MAX31856, 10},
    {"b", 'R', Chip::MAX31856, 9},
    {"c", 'S', Chip::MAX31856, 8},
    {"d", 'T', Chip::MAX31856, 7},
};
static constexpr uint8_t BUTTON_PINS[] PROGMEM = {2, 3, 4, 5, A_PIN(1), A_PIN(2), A_PIN(3), A_PIN(4)};
static constexpr uint8_t LAMP_PIN = 6;
static constexpr uint8_t BUZZER_PIN = A_PIN(0);
static constexpr uint8_t LOOSE_PIN = A_PIN(5);
static constexpr uint32_t BAUD = 115200;
static constexpr uint8_t MAINS_HZ = 60;
