// Raw `struct input_event` records, as read from an event node (little endian): 24 bytes on 64-bit
// systems (seconds and microseconds of 8 bytes each), 16 on 32-bit ones (of 4 each, unsigned as in the
// kernel's 64-bit-time variant); then type, code (16 bits each) and value (32 bits). linux/input.h.
//
// Nothing marks such a file, so it is known by what it holds: types and codes that exist, microseconds
// below a million, times that hardly jump (all so in seven of eight of the first 64 records, for one may
// be damaged), and a SYN_REPORT among them.
#pragma once

#include "capture/log/reader.hpp"

namespace paneproof {

const Format& input_event_format();

}  // namespace paneproof
