// For the Arduino IDE: open this file, choose an ATmega328P board (Uno, Nano and the like), and upload.
#include "sketch.h"

void setup() { spyhole_setup(); }

void loop() { spyhole_loop(); }
