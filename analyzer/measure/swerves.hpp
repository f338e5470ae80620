// Swerves: short bows in an otherwise straight stroke.
//
// A report's offset is its distance from the chord between the stroke 9 mm before and 9 mm after it; a swerve
// is where that is largest, with a straight way further out on one side at least (within 10 degrees of the
// chord over 5 to 8 mm) and none that turns on the other. Curves and turns are no swerves.
#pragma once

#include <cstdint>
#include <vector>

#include "capture/model/trace.hpp"

namespace paneproof {

struct Swerve {
  std::uint32_t report = 0;  // where the bow is deepest
  double x_mm = 0, y_mm = 0;
  double towards_x = 0, towards_y = 0;  // unit vector of the bow
  double mm = 0;                        // how deep it is
};

// Those of least_mm or deeper, in order of the reports. counts: per contact, 0 for those that are no finger
// of the sweep.
std::vector<Swerve> swerves(const Trace& trace, const std::vector<std::uint8_t>& counts, double least_mm);

}  // namespace paneproof
