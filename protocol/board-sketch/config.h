// The configuration that is built, checked.
#pragma once

#ifdef SPYHOLE_CONFIG
#include SPYHOLE_CONFIG
#else
#include "board-config.h"
#endif

static constexpr uint8_t PROBE_COUNT = sizeof(PROBES) / sizeof(PROBES[0]);
static constexpr uint8_t BUTTON_COUNT = sizeof(BUTTON_PINS) / sizeof(BUTTON_PINS[0]);

// Past readings get all the RAM that can be spared: with them four fifths are taken, and the rest is the stack's.
static constexpr uint16_t RING_BYTES = 1240 - 21 * PROBE_COUNT - BUTTON_COUNT;

// The clock moves on in steps of so many milliseconds.
static constexpr uint8_t TICK_MS = 20;

// Couples for which there is a MAX31855; tell.cpp has the slope of each.
constexpr bool isLinearCouple(char couple) {
  return couple == 'E' || couple == 'J' || couple == 'K' || couple == 'N' || couple == 'R' || couple == 'S' ||
         couple == 'T';
}

// MAX31856, register 01h, bits 3:0: by the chip's data sheet, from memory.
constexpr int8_t typeCodeOf(char couple) {
  return couple == 'B'   ? 0
         : couple == 'E' ? 1
         : couple == 'J' ? 2
         : couple == 'K' ? 3
         : couple == 'N' ? 4
         : couple == 'R' ? 5
         : couple == 'S' ? 6
         : couple == 'T' ? 7
                         : -1;
}

namespace checks {

constexpr bool isNameLetter(char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; }

constexpr bool isName(const char* text, uint8_t at = 0) {
  return text[at] == 0 ? at > 0 : at < 16 && isNameLetter(text[at]) && isName(text, at + 1);
}

constexpr bool isSame(const char* a, const char* b) {
  return *a == *b && (*a == 0 || isSame(a + 1, b + 1));
}

constexpr bool isCouple(const Probe& probe) {
  return probe.chip == Chip::MAX31855 ? isLinearCouple(probe.couple) : typeCodeOf(probe.couple) >= 0;
}

constexpr bool differs(uint8_t probe, uint8_t from) {
  return from >= PROBE_COUNT || (!isSame(PROBES[probe].name, PROBES[from].name) &&
                                 PROBES[probe].selectPin != PROBES[from].selectPin && differs(probe, from + 1));
}

constexpr bool areProbes(uint8_t probe = 0) {
  return probe >= PROBE_COUNT || (isName(PROBES[probe].name) && isCouple(PROBES[probe]) &&
                                  differs(probe, probe + 1) && areProbes(probe + 1));
}

static_assert(isName(BOARD_ID), "BOARD_ID: 1 to 16 of a-z 0-9 and -");
static_assert(PROBE_COUNT >= 1 && PROBE_COUNT <= 4, "PROBES: one to four");
static_assert(areProbes(), "PROBES: names of 1 to 16 of a-z 0-9 and -, names and pins once each, couples the chip knows");
static_assert(BUTTON_COUNT >= 1 && BUTTON_COUNT <= 8, "BUTTON_PINS: one to eight");
static_assert(PERIOD_MS >= 200 && PERIOD_MS % TICK_MS == 0, "PERIOD_MS: a multiple of 20, at least 200");
static_assert(MAINS_HZ == 50 || MAINS_HZ == 60, "MAINS_HZ: 50 or 60");

}  // namespace checks
