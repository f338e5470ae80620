// Roundness: do fingers that vanish beside a void, or come back there, do so along a circle, as at the border
// of a dead area, or where a hand chose to lift?
//
// The best circle about the void is looked for; arrivals scatter about it by 0.2 to 0.9 mm (electrodes) or by
// 1 to 4 mm (hands that leave out a region and lift near its border: common practice, no source), both
// widened by the step between two reports, with one in ten anywhere within 12 mm. The two are weighed by a
// Bayes factor, the circle's three unknowns by Laplace's approximation (Kass & Raftery 1995): each narrows
// with the scatter, so that a circle through few places proves nothing.
#pragma once

#include <vector>

#include "analyzer/measure/alignment.hpp"

namespace paneproof {

struct Round {
  Point middle;
  double radius_mm = 0;
};

// The circle that most of these places lie along. It is looked for within 8 mm of their box, with a radius of
// 2 to 24 mm; of more than 60 places, 60 count. At least one place.
Round circle_through(const std::vector<Point>& places);

// ln of the Bayes factor, positive for electrodes. Arrivals within 8 mm of the side they head for are left
// out: a frame stops all fingers alike. step_mm: way of the finger between two reports. 0 for fewer than five
// arrivals, or where they lie 45 mm or more apart.
double log_round(const std::vector<Arrival>& arrivals, const Panel& panel, double step_mm);

}  // namespace paneproof
