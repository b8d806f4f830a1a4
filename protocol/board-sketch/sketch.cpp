// What the board does, in the order of its urgency: read the couples when it is time, tell of buttons, say who it is when
// asked, and send past readings again in between. It sleeps whenever nothing is left to do. Lines as in ../board-lines.md.
#include "sketch.h"

#include <avr/interrupt.h>
#include <avr/sleep.h>
#include <avr/wdt.h>

#include "boot-id.h"
#include "buttons.h"
#include "chips.h"
#include "clock.h"
#include "history.h"
#include "lamp.h"
#include "line.h"
#include "presses.h"
#include "requests.h"
#include "ring.h"
#include "tell.h"
#include "uart.h"

static uint32_t dueMs;

// The watchdog stays on over the reset that it makes, and would bite again before the program is up.
extern "C" void stopWatchdog() __attribute__((naked, used, section(".init3")));
void stopWatchdog() {
  MCUSR = 0;
  wdt_disable();
}

void spyhole_setup() {
  chips::begin();
  buttons::begin();
  lamp::begin();
  ring::clear(0);
  tell::begin(bootId::make());
  uart::begin();
  clock::begin();
  dueMs = clock::uptimeMs() + PERIOD_MS;
  set_sleep_mode(SLEEP_MODE_IDLE);
  wdt_enable(WDTO_2S);
  sei();
  tell::hello();
}

static void readIfDue() {
  const uint32_t nowMs = clock::uptimeMs();
  if (int32_t(nowMs - dueMs) < 0) return;
  dueMs += PERIOD_MS;
  Reading reading;
  reading.uptimeMs = nowMs;
  chips::read(reading.values);
  const uint32_t seq = ring::nextSeq();
  ring::push(reading);
  tell::reading(seq, reading);
}

static void tick() {
  const uint8_t pressed = buttons::tick();
  if (pressed != 0) {
    lamp::answered();
    presses::take(pressed);
  }
  lamp::tick();
  readIfDue();
}

// An interrupt that comes after the last look and before the sleep ends the sleep: `sei` lets one more instruction pass.
static void sleepIfNothingToDo() {
  cli();
  if (!clock::hasTicked() && !uart::hasInput() && !requests::waiting() && !history::canGo()) {
    sleep_enable();
    sei();
    sleep_cpu();
    sleep_disable();
  }
  sei();
}

void spyhole_loop() {
  wdt_reset();
  requests::hear();
  while (clock::ticked()) tick();
  if (requests::helloAsked()) tell::hello();
  if (requests::heard()) presses::sayAgain();
  history::go();
  sleepIfNothingToDo();
}
