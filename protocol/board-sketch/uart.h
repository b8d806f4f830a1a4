// The serial port, 8N1, driven by interrupts: bytes go out and come in while the program does other things or sleeps.
#pragma once

#include <stdint.h>

namespace uart {

void begin();

// Puts a byte into the outgoing buffer. While that is full it waits, and takes in what comes meanwhile.
void put(uint8_t byte);

// Nothing waits to be sent.
bool isIdle();

// The next byte that came in, or -1. What found no room was dropped: the line's CRC shows it.
int16_t take();

// Whether `take()` would give one. For use with interrupts off.
bool hasInput();

}  // namespace uart
