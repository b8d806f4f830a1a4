#include "requests.h"

#include <string.h>
#include <util/crc16.h>

#include "lamp.h"
#include "uart.h"

namespace requests {

static constexpr uint8_t CRC_CHARS = 4;
// `$G,4294967295,4294967295*XXXX` without its `$`, and a CR.
static constexpr uint8_t LONGEST = 30;
static constexpr uint8_t MOST_GIVES = 5;
static constexpr uint8_t MOST_A_GIVE = 200;

// What came since the last `$`.
static char body[LONGEST];
static uint8_t length;
static bool inLine;

static bool helloIsAsked;
static bool anyHeard;
static Range gives[MOST_GIVES];
static uint8_t givesWaiting;

static uint8_t fromHex(char digit) {
  if (digit >= '0' && digit <= '9') return digit - '0';
  return digit >= 'A' && digit <= 'F' ? digit - 'A' + 10 : 0xff;
}

// The body ends before its `*`; 0 if frame or CRC are wrong.
static uint8_t openFrame() {
  if (length < 2 + CRC_CHARS || body[length - CRC_CHARS - 1] != '*') return 0;
  const uint8_t star = length - CRC_CHARS - 1;
  uint16_t crc = 0xffff;
  for (uint8_t i = 0; i < star; i += 1) crc = _crc_xmodem_update(crc, body[i]);
  for (uint8_t i = star + 1; i < length; i += 1, crc <<= 4)
    if (fromHex(body[i]) != crc >> 12) return 0;
  return star;
}

// An unsigned decimal of 1 to 10 digits below 2^32, from `at` on, which is moved behind it.
static bool readCounter(uint8_t& at, uint8_t end, uint32_t& value) {
  uint64_t read = 0;
  const uint8_t first = at;
  for (; at < end && body[at] >= '0' && body[at] <= '9'; at += 1) {
    if (at - first == 10) return false;
    read = read * 10 + (body[at] - '0');
  }
  value = read;
  return at > first && read <= 0xffffffff;
}

static bool isKnown(const Range& range) {
  for (uint8_t i = 0; i < givesWaiting; i += 1)
    if (gives[i].from == range.from && gives[i].to == range.to) return true;
  return false;
}

static bool takeGive(uint8_t end) {
  Range range;
  uint8_t at = 2;
  if (end < 3 || body[1] != ',' || !readCounter(at, end, range.from)) return false;
  if (at == end || body[at] != ',') return false;
  at += 1;
  if (!readCounter(at, end, range.to) || at != end || range.to - range.from >= MOST_A_GIVE) return false;
  // What finds no room is asked for again.
  if (givesWaiting < MOST_GIVES && !isKnown(range)) gives[givesWaiting++] = range;
  return true;
}

static bool takeLine(uint8_t end) {
  switch (body[0]) {
    case '?':
      if (end != 1) return false;
      helloIsAsked = true;
      return true;
    case 'L':
      if (end != 3 || body[1] != ',' || body[2] < '0' || body[2] > '2') return false;
      lamp::told(body[2] - '0');
      return true;
    case 'G':
      return takeGive(end);
    default:
      return false;
  }
}

void hear() {
  for (int16_t byte = uart::take(); byte >= 0; byte = uart::take()) {
    if (byte == '$') {
      inLine = true;
      length = 0;
    } else if (byte == '\n' && inLine) {
      if (length > 0 && body[length - 1] == '\r') length -= 1;
      const uint8_t end = openFrame();
      if (end > 0 && takeLine(end)) anyHeard = true;
      inLine = false;
    } else if (inLine && length < LONGEST) {
      body[length++] = byte;
    } else {
      inLine = false;
    }
  }
}

bool helloAsked() {
  const bool asked = helloIsAsked;
  helloIsAsked = false;
  return asked;
}

bool heard() {
  const bool any = anyHeard;
  anyHeard = false;
  return any;
}

bool waiting() { return helloIsAsked || anyHeard; }

bool nextGive(Range& range) {
  if (givesWaiting == 0) return false;
  range = gives[0];
  givesWaiting -= 1;
  memmove(gives, gives + 1, givesWaiting * sizeof(Range));
  return true;
}

bool hasGive() { return givesWaiting > 0; }

}  // namespace requests
