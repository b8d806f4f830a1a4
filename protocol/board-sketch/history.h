// Answers `G`: one past reading at a time, and only while nothing else waits to be sent, so that what is read now is told
// now.
#pragma once

namespace history {

// Does the next bit of work, some 2 ms at most and a line.
void go();

// Whether `go` would do anything. For use with interrupts off.
bool canGo();

}  // namespace history
