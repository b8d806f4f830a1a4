// Without Arduino. With it, board-sketch.ino calls the same two functions.
#ifndef ARDUINO

#include "sketch.h"

int main() {
  spyhole_setup();
  for (;;) spyhole_loop();
}

#endif
