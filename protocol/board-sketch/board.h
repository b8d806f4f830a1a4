// What a board is made of, and the checks that its configuration must pass before it compiles.
#pragma once

#include <avr/pgmspace.h>
#include <stdint.h>

enum class Chip : uint8_t {
  // Takes the couple as linear; its value is told as `lin`, and the collector undoes that.
  MAX31855,
  // Linearises by itself; its value is told as `deg`.
  MAX31856,
};

struct Probe {
  char name[17];
  char couple;
  Chip chip;
  uint8_t selectPin;
};

// Analog pin n by its number as a digital one.
#define A_PIN(n) (14 + (n))
