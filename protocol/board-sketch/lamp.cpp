#include "lamp.h"

#include <string.h>

#include "config.h"
#include "pins.h"

namespace lamp {

namespace {

// Without an `L` for so long, nobody is watching.
constexpr uint16_t DEAD_MAN_MS = 60000;

// On from `fromMs` to `toMs` of each `everyMs`; with `again`, a second time so many ms later.
struct Pattern {
  uint16_t everyMs;
  uint16_t fromMs;
  uint16_t toMs;
  uint16_t againMs;
};

// How the levels look and sound is our choice; blink, double blink, chirp and their times are board-lines.md's.
constexpr Pattern DARK PROGMEM = {TICK_MS, 0, 0, 0};
constexpr Pattern BLINK PROGMEM = {5000, 0, 60, 0};
constexpr Pattern SLOW PROGMEM = {2000, 0, 1000, 0};
constexpr Pattern FAST PROGMEM = {400, 0, 200, 0};
constexpr Pattern DOUBLE_BLINK PROGMEM = {5000, 0, 60, 200};
constexpr Pattern BEEP_NOW_AND_THEN PROGMEM = {30000, 0, 200, 0};
constexpr Pattern BEEPING PROGMEM = {1000, 0, 500, 0};
constexpr Pattern CHIRP PROGMEM = {60000, 0, 40, 0};

enum class Mode : uint8_t { Quiet, LookSoon, ComeNow, Unwatched, Answered, JustBooted };

Mode mode;
uint16_t silentMs;
uint16_t lampMs;
uint16_t buzzerMs;

void enter(Mode next) {
  if (next == mode) return;
  mode = next;
  lampMs = buzzerMs = 0;
}

// Both point into program memory.
const Pattern* lampPattern() {
  switch (mode) {
    case Mode::Quiet:
      return &BLINK;
    case Mode::LookSoon:
      return &SLOW;
    case Mode::ComeNow:
      return &FAST;
    case Mode::Unwatched:
      return &DOUBLE_BLINK;
    default:
      return &DARK;
  }
}

const Pattern* buzzerPattern() {
  switch (mode) {
    case Mode::LookSoon:
      return &BEEP_NOW_AND_THEN;
    case Mode::ComeNow:
      return &BEEPING;
    case Mode::Unwatched:
      return &CHIRP;
    default:
      return &DARK;
  }
}

bool isOn(const Pattern& pattern, uint16_t ms) {
  if (ms >= pattern.fromMs && ms < pattern.toMs) return true;
  return pattern.againMs > 0 && ms >= pattern.againMs && ms < pattern.againMs + (pattern.toMs - pattern.fromMs);
}

void drive(uint8_t pin, const Pattern* from, uint16_t& ms) {
  Pattern pattern;
  memcpy_P(&pattern, from, sizeof pattern);
  if (ms >= pattern.everyMs) ms = 0;
  pins::write(pin, isOn(pattern, ms));
  ms += TICK_MS;
}

}  // namespace

void begin() {
  pins::beOutput(LAMP_PIN, false);
  pins::beOutput(BUZZER_PIN, false);
  mode = Mode::JustBooted;
}

void told(uint8_t level) {
  silentMs = 0;
  enter(level == 0 ? Mode::Quiet : level == 1 ? Mode::LookSoon : Mode::ComeNow);
}

void answered() {
  if (mode == Mode::Unwatched) enter(Mode::Answered);
}

void tick() {
  if (silentMs < DEAD_MAN_MS)
    silentMs += TICK_MS;
  else if (mode != Mode::Answered)
    enter(Mode::Unwatched);
  drive(LAMP_PIN, lampPattern(), lampMs);
  drive(BUZZER_PIN, buzzerPattern(), buzzerMs);
}

}  // namespace lamp
