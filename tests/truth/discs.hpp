// The physical reading of the guarantee, measured and not promised: dead discs planted in the rehearsal
// panel, by size, sweep and row distance; how often they were reported.
#pragma once

#include <vector>

#include "tests/truth/rehearsed_case.hpp"

namespace paneproof {

inline constexpr double disc_sizes_mm[] = {6, 8, 10, 12, 15};
inline constexpr double row_distances_mm[] = {3, 5, 7};

struct DiscResult {
  std::size_t size = 0, row = 0;  // indices into the arrays above
  SweepStyle style = SweepStyle::rows;
  Outcome outcome = Outcome::pass;
  bool found = false;  // fail, with a dead zone that overlaps the disc (5 mm wider)
};

// The whole design, `repeats` panels a combination; every panel differs in all else.
std::vector<DiscResult> plant_discs(std::uint64_t seed, int repeats, unsigned threads);

}  // namespace paneproof
