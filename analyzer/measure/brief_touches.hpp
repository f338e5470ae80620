// Which contacts are brief touches and which are strokes of a finger.
//
// A brief touch stays where it appears: at most 0.15 s within 3 mm; or at most 0.5 s within 1 mm, or
// trembling within 5 mm about a place that drifts by no more than 1 mm from its first half to its second.
// What runs faster than any sweep for at most 0.15 s (a dart) is neither. All else is a stroke, and so is a
// row of brief touches, each where the one before ended, that gets somewhere: a finger that noise keeps
// interrupting. Definitions ours; common practice, no source.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/contact_spans.hpp"

namespace paneproof {

inline constexpr double dart_mm_s = 600;  // faster than a sweep
inline constexpr double spell_mm = 6.0;   // what goes no further stays at its place

struct BriefTouches {
  std::vector<std::uint8_t> brief, stroke;  // per contact, 0 or 1; never both
};

// Within 1 mm, or trembling about a place that does not drift, however long.
bool keeps_still(const ContactSpans& spans, std::uint32_t c);

BriefTouches brief_touches(const Trace& trace, const ContactSpans& spans);

// Sets that are joined one by one: the first of the set of c. Shortens the way to it.
inline std::uint32_t root(std::vector<std::uint32_t>& links, std::uint32_t c) {
  while (links[c] != c) c = links[c] = links[links[c]];
  return c;
}

// Each contact a set of its own.
std::vector<std::uint32_t> each_alone(std::size_t contacts);

}  // namespace paneproof
