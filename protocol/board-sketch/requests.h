// What the collector asks for: its lines are read here, and wait here until the board gets round to them.
#pragma once

#include <stdint.h>

namespace requests {

// Seqs, inclusive, forward modulo 2^32: at most 200.
struct Range {
  uint32_t from;
  uint32_t to;
};

// Takes in what has come over the serial port. Sends nothing, so that it may be called while a line is being sent.
void hear();

// True once for each `?`.
bool helloAsked();

// True once after any good line: the collector is there.
bool heard();

// Whether `helloAsked` or `heard` would be true.
bool waiting();

// The next `G`, if there is one.
bool nextGive(Range& range);
bool hasGive();

}  // namespace requests
