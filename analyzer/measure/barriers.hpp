// Barriers: straight lines along the electrodes that visits from one side never pass.
//
// Beyond the barrier lies a place without a report: the border of a dead line, or of an insensitive edge with
// a living strip outside it. As for edges (edges.hpp), hands do not all turn within the same millimetre.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/visits.hpp"

namespace paneproof {

struct Barrier {
  Side towards = Side::left;  // visits went towards this side and came to an end
  std::vector<Point> places;  // where
  double log_chance = 0;      // ln of the chance that hands alone do this
};

// Those further than 3.5 mm from the side and from the one opposite (a finger that runs along a border ends
// there wherever it ends), beyond whose places no report lies for at least 6 mm; visits that end and that
// begin make barriers of their own. Those that turn make none: loops that all turn at the border of what a
// hand did not go over do so within a millimetre, too.
std::vector<Barrier> barriers(const Trace& trace, const std::vector<std::uint8_t>& counts,
                              const ReportField& field);

// A point `mm` beyond a place of a barrier.
Point beyond(Point place, Side towards, double mm);

}  // namespace paneproof
