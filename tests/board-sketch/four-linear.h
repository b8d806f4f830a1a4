// A board for tests: four linear chips, as fast as it goes, eight buttons.
#pragma once

#include "board.h"

static constexpr char BOARD_ID[] PROGMEM = "a-board-of-16-ch";
static constexpr uint32_t PERIOD_MS = 200;
static constexpr Probe PROBES[] PROGMEM = {
    {"sixteen-letters1", 'K', Chip::MAX31855, 10},
    {"sixteen-letters2", 'J', Chip::MAX31855, 9},
    {"sixteen-letters3", 'E', Chip::MAX31855, 8},
    {"sixteen-letters4", 'N', Chip::MAX31855, 7},
};
static constexpr uint8_t BUTTON_PINS[] PROGMEM = {2, 3, 4, 5, A_PIN(1), A_PIN(2), A_PIN(3), A_PIN(4)};
static constexpr uint8_t LAMP_PIN = 6;
static constexpr uint8_t BUZZER_PIN = A_PIN(0);
static constexpr uint8_t LOOSE_PIN = A_PIN(5);
static constexpr uint32_t BAUD = 115200;
static constexpr uint8_t MAINS_HZ = 50;
