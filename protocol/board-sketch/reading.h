// A reading as the board keeps it: the chips' own codes, so that nothing is rounded before it is printed.
#pragma once

#include "config.h"

enum class State : uint8_t { Measured, Nothing, Open, Short, Range };

// `code` counts only while `state` is Measured: at most 20 bits with its sign.
struct Value {
  int32_t code;
  State state;
};

// A °C is so many steps of a code, as a power of two.
static constexpr uint8_t COLD_JUNCTION_BITS = 6;
static constexpr uint8_t MAX31855_BITS = 2;
static constexpr uint8_t MAX31856_BITS = 7;

// The cold junction comes first, then the probes in their order.
static constexpr uint8_t CHANNELS = 1 + PROBE_COUNT;

struct Reading {
  uint32_t uptimeMs;
  Value values[CHANNELS];
};
