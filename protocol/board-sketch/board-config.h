// What is particular to one board: who it is, what hangs on it, how often it reads. Change it here and nowhere else.
#pragma once

#include "board.h"

// 1 to 16 of a-z 0-9 and -. Each board of a kiln needs a name of its own.
static constexpr char BOARD_ID[] PROGMEM = "kiln-shed";

// Milliseconds from one reading to the next: a multiple of 20, at least 200, as the chips need that long.
static constexpr uint32_t PERIOD_MS = 1000;

// One to four couples, in the order in which they are told: name, type letter of the couple, chip, select pin.
static constexpr Probe PROBES[] PROGMEM = {
    {"low", 'K', Chip::MAX31855, 10},
    {"high", 'S', Chip::MAX31856, 9},
};

// Up to eight push buttons to ground; the first is button 1. What each means is set in the plan.
static constexpr uint8_t BUTTON_PINS[] PROGMEM = {2, 3, 4, 5};

static constexpr uint8_t LAMP_PIN = 6;
static constexpr uint8_t BUZZER_PIN = A_PIN(0);

// A pin with nothing on it; its noise goes into the boot id.
static constexpr uint8_t LOOSE_PIN = A_PIN(5);

static constexpr uint32_t BAUD = 115200;

// The mains hum that a MAX31856 shall filter out: 50 or 60.
static constexpr uint8_t MAINS_HZ = 50;
