// For tests: the ring alone, on the processor it is made for. The test writes an argument and then a command into memory,
// lets the program run until the command is zero again, and reads the answer.
#include "../../protocol/board-sketch/ring.h"

// One byte is enough, and is read at once.
volatile uint8_t command[4];
volatile uint32_t argument;
volatile uint32_t answer;
Reading reading;

int main() {
  for (;;) {
    const uint8_t asked = command[0];
    if (asked == 0) continue;
    switch (asked) {
      case 1:
        ring::clear(argument);
        break;
      case 2:
        ring::push(reading);
        break;
      case 3:
        answer = uint32_t(ring::seek(argument));
        reading = ring::found();
        break;
      case 4:
        answer = ring::held();
        break;
      case 5:
        answer = ring::keeps();
        break;
      default:
        break;
    }
    command[0] = 0;
  }
}
