// The past readings that can be sent again, as many as fit: each is kept as its differences to the one before, in a code
// that spends few bits on what is usual. Pure: it touches nothing but its own memory.
#pragma once

#include "reading.h"

namespace ring {

// Forgets everything; the next reading gets this seq.
void clear(uint32_t firstSeq);

// Keeps a reading, and drops the oldest ones for it where there is no room.
void push(const Reading& reading);

uint32_t nextSeq();

// How many readings are there, and the seq of the oldest of them.
uint16_t held();
uint32_t oldestSeq();

// So many of the newest can be asked for and will still be there when the question comes, a few readings later. It grows
// until the ring is full, and is never less than what the ring will hold whatever comes.
uint16_t keeps();

enum class Found : uint8_t { Here, NotYet, Gone };

// Looks for a reading, a few steps at a time: `NotYet` means call again. What is `Gone` is not there any more, or was not
// yet. Readings that follow one another are found at once.
Found seek(uint32_t seq);

// The reading that `seek` has found.
const Reading& found();

}  // namespace ring
