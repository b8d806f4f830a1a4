#include "tell.h"

#include "line.h"
#include "ring.h"

namespace tell {

static uint32_t boot;

// The form of a MAX31855's value, with the µV/°C by which the chip for each couple takes it as linear: by the chip's data
// sheet, from memory.
static PGM_P linearForm(char couple) {
  switch (couple) {
    case 'E':
      return PSTR("lin76.373");
    case 'J':
      return PSTR("lin57.953");
    case 'N':
      return PSTR("lin36.256");
    case 'R':
      return PSTR("lin10.506");
    case 'S':
      return PSTR("lin9.587");
    case 'T':
      return PSTR("lin52.18");
    default:
      return PSTR("lin41.276");
  }
}

static bool isLinear(uint8_t probe) { return Chip(pgm_read_byte(&PROBES[probe].chip)) == Chip::MAX31855; }

static void value(const Value& value, uint8_t bits) {
  line::field();
  switch (value.state) {
    case State::Measured:
      line::number(value.code, bits);
      break;
    case State::Open:
      line::text_P(PSTR("!open"));
      break;
    case State::Short:
      line::text_P(PSTR("!short"));
      break;
    case State::Range:
      line::text_P(PSTR("!range"));
      break;
    case State::Nothing:
      break;
  }
}

static void counter(uint32_t value) {
  line::field();
  line::counter(value);
}

void begin(uint32_t bootId) { boot = bootId; }

void hello() {
  line::begin('B');
  line::text_P(PSTR(",1,"));
  line::text_P(BOARD_ID);
  line::field();
  line::hex(boot);
  counter(PERIOD_MS);
  counter(ring::keeps());
  for (uint8_t i = 0; i < PROBE_COUNT; i += 1) {
    const char couple = pgm_read_byte(&PROBES[i].couple);
    line::field();
    line::text_P(PROBES[i].name);
    line::letter(':');
    line::letter(couple);
    line::letter(':');
    line::text_P(isLinear(i) ? linearForm(couple) : PSTR("deg"));
  }
  line::end();
}

void reading(uint32_t seq, const Reading& reading) {
  line::begin('R');
  counter(seq);
  counter(reading.uptimeMs);
  value(reading.values[0], COLD_JUNCTION_BITS);
  for (uint8_t i = 0; i < PROBE_COUNT; i += 1)
    value(reading.values[1 + i], isLinear(i) ? MAX31855_BITS : MAX31856_BITS);
  line::end();
}

void press(uint32_t seq, uint32_t uptimeMs, uint8_t button) {
  line::begin('P');
  counter(seq);
  counter(uptimeMs);
  line::field();
  line::letter('0' + button);
  line::end();
}

void missing(uint32_t from, uint32_t to) {
  line::begin('M');
  counter(from);
  counter(to);
  line::end();
}

}  // namespace tell
