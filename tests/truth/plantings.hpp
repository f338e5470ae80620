// The guarantee as a property: from a trace, every report inside a disc wider than a fingertip is deleted;
// then no cell that lies so far inside the disc that no report is within half a fingertip of it may be
// proven, and the verdict may not be pass. Whatever the trace: sound or faulty, whole or not.
#pragma once

#include <string>

#include "tests/truth/rehearsed_case.hpp"

namespace paneproof {

struct Disc {
  double x_mm = 0, y_mm = 0, radius_mm = 0;
};

// Without the reports inside the disc (its border included); contacts that lose all of theirs are gone.
Trace without(const Trace& trace, const Disc& disc);

// A disc with its centre in the judged area, of radius over d/2 up to 20 mm: often just over d/2.
Disc random_disc(const Panel& panel, double fingertip_mm, Random& random);

// What breaks the guarantee after the planting; "" when it holds.
std::string broken_guarantee(const Trace& trace, const Disc& disc, const Limits& limits);

// The trace for plantings of this number: all sweep styles in turn, every firmware, sound, incomplete and
// faulty panels.
inline constexpr std::uint64_t first_seed_of_plantings = 7000000;
Trace trace_to_plant(std::uint64_t number);

}  // namespace paneproof
