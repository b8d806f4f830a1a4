#include "ring.h"

namespace ring {

namespace {

// A difference is told in Golomb-Rice code (Golomb 1966, Rice 1979): its high part in ones and a zero, its low `k` bits as
// they are; `k` follows what the channel has done lately. So many ones without a zero mean that the value itself follows.
constexpr uint8_t ESCAPE_ONES = 10;
constexpr uint8_t STATE_BITS = 3;
constexpr uint8_t CODE_BITS = 20;
constexpr uint8_t UPTIME_BITS = 32;

constexpr uint16_t CAPACITY_BITS = RING_BYTES * 8;
constexpr uint16_t LONGEST_BITS =
    ESCAPE_ONES + UPTIME_BITS + CHANNELS * (ESCAPE_ONES + STATE_BITS + CODE_BITS);
constexpr uint16_t AT_LEAST = (CAPACITY_BITS - LONGEST_BITS) / LONGEST_BITS;
static_assert(AT_LEAST > 0, "RING_BYTES: room for two readings at least");

// So many of the oldest readings may go between a promise and the question for them.
constexpr uint8_t DROPPED_SOON = 8;

// One call of `seek` reads so many readings, some 2 ms, and leaves the rest to the next.
constexpr uint8_t SEEK_STEPS = 16;

constexpr uint8_t UPTIME = CHANNELS;
constexpr uint16_t SPREAD_MOST = 1000;

// A point between two readings: the reading before it, and how far the channels have scattered up to it, in 1/16.
struct Place {
  uint32_t seq;
  uint16_t bit;
  Reading reading;
  uint16_t spread[CHANNELS + 1];
};

uint8_t bytes[RING_BYTES];
uint16_t usedBits;
// Readings have been dropped.
bool isFull;
// Before the oldest reading kept, behind the newest, and where `seek` is.
Place base;
Place head;
Place walk;

uint16_t next(uint16_t bit) { return bit + 1 == CAPACITY_BITS ? 0 : bit + 1; }

void writeBit(bool one) {
  uint8_t& byte = bytes[head.bit >> 3];
  const uint8_t mask = 1 << (head.bit & 7);
  byte = one ? byte | mask : byte & ~mask;
  head.bit = next(head.bit);
  usedBits += 1;
}

void writeBits(uint32_t value, uint8_t count) {
  for (; count > 0; count -= 1, value >>= 1) writeBit(value & 1);
}

bool readBit(Place& place) {
  const bool one = bytes[place.bit >> 3] & (1 << (place.bit & 7));
  place.bit = next(place.bit);
  return one;
}

uint32_t readBits(Place& place, uint8_t count) {
  uint32_t value = 0;
  for (uint8_t i = 0; i < count; i += 1)
    if (readBit(place)) value |= uint32_t(1) << i;
  return value;
}

uint32_t zigzag(int32_t difference) {
  return difference < 0 ? ~(uint32_t(difference) << 1) : uint32_t(difference) << 1;
}

int32_t unzigzag(uint32_t folded) { return folded & 1 ? -int32_t(folded >> 1) - 1 : int32_t(folded >> 1); }

uint8_t lowBits(uint16_t spread) {
  uint8_t k = 0;
  while (k < 10 && (uint16_t(24) << k) < spread) k += 1;
  return k;
}

void follow(uint16_t& spread, uint32_t folded) {
  spread += (folded < SPREAD_MOST ? folded : SPREAD_MOST) - (spread >> 4);
}

// False, and nothing written but the escape, if the difference is too great for its channel.
bool writeFolded(uint32_t folded, uint16_t spread) {
  const uint8_t k = lowBits(spread);
  const uint32_t ones = folded >> k;
  const bool fits = ones < ESCAPE_ONES;
  for (uint8_t i = 0; i < (fits ? ones : ESCAPE_ONES); i += 1) writeBit(true);
  if (!fits) return false;
  writeBit(false);
  writeBits(folded, k);
  return true;
}

// False if the value itself follows.
bool readFolded(Place& place, uint16_t spread, uint32_t& folded) {
  const uint8_t k = lowBits(spread);
  uint32_t ones = 0;
  while (ones < ESCAPE_ONES && readBit(place)) ones += 1;
  if (ones == ESCAPE_ONES) return false;
  folded = (ones << k) | readBits(place, k);
  return true;
}

void writeUptime(uint32_t uptimeMs) {
  const uint32_t folded = zigzag(int32_t(uptimeMs - head.reading.uptimeMs - PERIOD_MS));
  if (!writeFolded(folded, head.spread[UPTIME])) writeBits(uptimeMs, UPTIME_BITS);
  follow(head.spread[UPTIME], folded);
  head.reading.uptimeMs = uptimeMs;
}

void readUptime(Place& place) {
  uint32_t folded;
  uint32_t uptimeMs;
  if (readFolded(place, place.spread[UPTIME], folded)) {
    uptimeMs = place.reading.uptimeMs + PERIOD_MS + uint32_t(unzigzag(folded));
  } else {
    uptimeMs = readBits(place, UPTIME_BITS);
    folded = zigzag(int32_t(uptimeMs - place.reading.uptimeMs - PERIOD_MS));
  }
  follow(place.spread[UPTIME], folded);
  place.reading.uptimeMs = uptimeMs;
}

void writeValue(const Value& value, Value& last, uint16_t& spread) {
  const bool measured = value.state == State::Measured;
  const uint32_t folded = measured ? zigzag(value.code - last.code) : 0;
  const bool sameState = value.state == last.state;
  if (!sameState) writeBits((1 << ESCAPE_ONES) - 1, ESCAPE_ONES);
  if (!sameState || !writeFolded(folded, spread)) {
    writeBits(uint8_t(value.state), STATE_BITS);
    if (measured) writeBits(value.code, CODE_BITS);
  }
  follow(spread, folded);
  if (measured) last.code = value.code;
  last.state = value.state;
}

void readValue(Place& place, Value& last, uint16_t& spread) {
  uint32_t folded = 0;
  if (readFolded(place, spread, folded)) {
    if (last.state == State::Measured) last.code += unzigzag(folded);
  } else {
    last.state = State(readBits(place, STATE_BITS));
    if (last.state == State::Measured) {
      const uint32_t sign = uint32_t(1) << (CODE_BITS - 1);
      const int32_t code = int32_t((readBits(place, CODE_BITS) ^ sign) - sign);
      folded = zigzag(code - last.code);
      last.code = code;
    }
  }
  follow(spread, folded);
}

void readNext(Place& place) {
  readUptime(place);
  for (uint8_t i = 0; i < CHANNELS; i += 1) readValue(place, place.reading.values[i], place.spread[i]);
  place.seq += 1;
}

void dropOldest() {
  isFull = true;
  const uint16_t before = base.bit;
  readNext(base);
  usedBits -= base.bit >= before ? base.bit - before : base.bit + (CAPACITY_BITS - before);
}

}  // namespace

void clear(uint32_t firstSeq) {
  usedBits = 0;
  isFull = false;
  base = Place();
  base.seq = firstSeq - 1;
  head = walk = base;
}

void push(const Reading& reading) {
  while (CAPACITY_BITS - usedBits < LONGEST_BITS) dropOldest();
  writeUptime(reading.uptimeMs);
  for (uint8_t i = 0; i < CHANNELS; i += 1)
    writeValue(reading.values[i], head.reading.values[i], head.spread[i]);
  head.seq += 1;
}

uint32_t nextSeq() { return head.seq + 1; }

uint16_t held() { return head.seq - base.seq; }

uint32_t oldestSeq() { return base.seq + 1; }

uint16_t keeps() {
  const uint16_t promised = isFull ? held() - DROPPED_SOON : held();
  return promised > AT_LEAST ? promised : AT_LEAST;
}

Found seek(uint32_t seq) {
  if (seq - base.seq - 1 >= held()) return Found::Gone;
  // Where it stood has been dropped meanwhile, or what is wanted lies behind it.
  if (int32_t(walk.seq - base.seq) < 0 || int32_t(walk.seq - seq) > 0) walk = base;
  for (uint8_t steps = SEEK_STEPS; walk.seq != seq; steps -= 1) {
    if (steps == 0) return Found::NotYet;
    readNext(walk);
  }
  return Found::Here;
}

const Reading& found() { return walk.reading; }

}  // namespace ring
