#include "history.h"

#include "requests.h"
#include "ring.h"
#include "tell.h"
#include "uart.h"

namespace history {

static bool busy;
static requests::Range asked;
// Still to be sent: so many from this one on.
static uint32_t next;
static uint8_t left;
// So many of the first ones asked for were gone, which is told at the end.
static uint8_t goneFirst;

static bool begin() {
  if (!requests::nextGive(asked)) return false;
  next = asked.from;
  left = asked.to - asked.from + 1;
  goneFirst = 0;
  return true;
}

static void passOver() {
  const uint32_t toOldest = ring::held() > 0 ? ring::oldestSeq() - next : left;
  const uint8_t gone = toOldest < left ? toOldest : left;
  if (next == asked.from)
    goneFirst = gone;
  else
    tell::missing(next, next + gone - 1);
  next += gone;
  left -= gone;
}

void go() {
  if (!canGo()) return;
  if (!busy) busy = begin();
  if (left == 0) {
    if (goneFirst > 0) tell::missing(asked.from, asked.from + goneFirst - 1);
    busy = false;
    return;
  }
  switch (ring::seek(next)) {
    case ring::Found::Here:
      tell::reading(next, ring::found());
      next += 1;
      left -= 1;
      break;
    case ring::Found::Gone:
      passOver();
      break;
    case ring::Found::NotYet:
      break;
  }
}

bool canGo() { return uart::isIdle() && (busy || requests::hasGive()); }

}  // namespace history
