#include "clock.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

#include "config.h"

namespace clock {

// Timer 1 in clear-on-compare mode at 1/64 of the clock.
static constexpr uint32_t COUNTS_A_TICK = F_CPU / 64 * TICK_MS / 1000;
static_assert(F_CPU / 64 * TICK_MS % 1000 == 0 && COUNTS_A_TICK <= 65536, "the tick must be exact");

static volatile uint32_t nowMs;
static volatile uint8_t ticksWaiting;

ISR(TIMER1_COMPA_vect) {
  nowMs += TICK_MS;
  if (ticksWaiting < 255) ticksWaiting += 1;
}

void begin() {
  TCCR1A = 0;
  TCCR1B = _BV(WGM12) | _BV(CS11) | _BV(CS10);
  OCR1A = COUNTS_A_TICK - 1;
  TCNT1 = 0;
  TIMSK1 = _BV(OCIE1A);
}

uint32_t uptimeMs() {
  uint32_t ms;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { ms = nowMs; }
  return ms;
}

bool ticked() {
  bool any = false;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    if (ticksWaiting > 0) {
      ticksWaiting -= 1;
      any = true;
    }
  }
  return any;
}

bool hasTicked() { return ticksWaiting > 0; }

}  // namespace clock
