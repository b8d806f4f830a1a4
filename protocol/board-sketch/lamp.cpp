#include "lamp.h"

#include <string.h>

#include "config.h"
#include "pins.h"

namespace lamp {

namespace {

// Without an `L` for so long, nobody is watching.
constexpr uint16_t DEAD_MAN_MS = 60000;

// On for `onMs` at the beginning of each `everyMs`, and with `againMs` once more from then on.
struct Pattern {
  uint16_t everyMs;
  uint16_t onMs;
  uint16_t againMs;
};

// How the levels look and sound is our choice; blink, double blink, chirp and their times are board-lines.md's.
constexpr Pattern DARK PROGMEM = {TICK_MS, 0, 0};
constexpr Pattern BLINK PROGMEM = {5000, 60, 0};
constexpr Pattern SLOW PROGMEM = {2000, 1000, 0};
constexpr Pattern FAST PROGMEM = {400, 200, 0};
constexpr Pattern DOUBLE_BLINK PROGMEM = {5000, 60, 200};
constexpr Pattern BEEP_NOW_AND_THEN PROGMEM = {30000, 200, 0};
constexpr Pattern BEEPING PROGMEM = {1000, 500, 0};
constexpr Pattern CHIRP PROGMEM = {60000, 40, 0};

enum class Mode : uint8_t { Quiet, LookSoon, ComeNow, Unwatched, Dark };

// A pattern that is being shown, and how far it has got.
struct Shown {
  Pattern pattern;
  uint16_t ms;
};

Mode mode;
uint16_t silentMs;
Shown lampShown;
Shown buzzerShown;

// `from` is in program memory.
void begin(Shown& shown, const Pattern* from) {
  memcpy_P(&shown.pattern, from, sizeof shown.pattern);
  shown.ms = 0;
}

void show(const Pattern& lamp, const Pattern& buzzer) {
  begin(lampShown, &lamp);
  begin(buzzerShown, &buzzer);
}

void enter(Mode next) {
  mode = next;
  switch (next) {
    case Mode::Quiet:
      return show(BLINK, DARK);
    case Mode::LookSoon:
      return show(SLOW, BEEP_NOW_AND_THEN);
    case Mode::ComeNow:
      return show(FAST, BEEPING);
    case Mode::Unwatched:
      return show(DOUBLE_BLINK, CHIRP);
    case Mode::Dark:
      return show(DARK, DARK);
  }
}

void change(Mode next) {
  if (next != mode) enter(next);
}

// Whether it is on now; it goes on to the next tick.
bool advance(Shown& shown) {
  const Pattern& pattern = shown.pattern;
  if (shown.ms >= pattern.everyMs) shown.ms = 0;
  const uint16_t ms = shown.ms;
  shown.ms += TICK_MS;
  const uint16_t sinceAgainMs = ms - pattern.againMs;
  return ms < pattern.onMs || (pattern.againMs > 0 && sinceAgainMs < pattern.onMs);
}

}  // namespace

void begin() {
  pins::beOutput(LAMP_PIN, false);
  pins::beOutput(BUZZER_PIN, false);
  enter(Mode::Dark);
}

void told(uint8_t level) {
  silentMs = 0;
  change(level == 0 ? Mode::Quiet : level == 1 ? Mode::LookSoon : Mode::ComeNow);
}

void answered() {
  if (mode == Mode::Unwatched) enter(Mode::Dark);
}

void tick() {
  if (silentMs < DEAD_MAN_MS) {
    silentMs += TICK_MS;
    if (silentMs == DEAD_MAN_MS) enter(Mode::Unwatched);
  }
  pins::write(LAMP_PIN, advance(lampShown));
  pins::write(BUZZER_PIN, advance(buzzerShown));
}

}  // namespace lamp
