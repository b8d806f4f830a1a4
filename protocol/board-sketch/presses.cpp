#include "presses.h"

#include "clock.h"
#include "tell.h"

namespace presses {

// The newest ones stay to be said again.
static constexpr uint8_t MOST = 6;

struct Press {
  uint32_t uptimeMs;
  uint8_t button;
};

static uint32_t nextSeq;
static Press newest[MOST];
static uint8_t toSayAgain;

static void keep(const Press& press) {
  if (toSayAgain == MOST) {
    for (uint8_t i = 1; i < MOST; i += 1) newest[i - 1] = newest[i];
    toSayAgain -= 1;
  }
  newest[toSayAgain++] = press;
}

void take(uint8_t pressed) {
  for (uint8_t i = 0; i < 8; i += 1) {
    if (!(pressed & (1 << i))) continue;
    const Press press = {clock::uptimeMs(), uint8_t(i + 1)};
    tell::press(nextSeq, press.uptimeMs, press.button);
    nextSeq += 1;
    keep(press);
  }
}

void sayAgain() {
  for (uint8_t i = 0; i < toSayAgain; i += 1)
    tell::press(nextSeq - toSayAgain + i, newest[i].uptimeMs, newest[i].button);
  toSayAgain = 0;
}

}  // namespace presses
