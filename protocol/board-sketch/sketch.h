// The sketch: `spyhole_setup` once, then `spyhole_loop` for ever.
#pragma once

void spyhole_setup();
void spyhole_loop();
