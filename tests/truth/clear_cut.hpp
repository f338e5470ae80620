// Which verdict a case calls for, where its truth leaves no doubt; and which losses a trace can tell of.
//
// A case is clear-cut when
//  * the panel is sound and neither the true path nor the reports that a finger made leave a circle of
//    7.5 mm or wider: pass;
//  * the panel is sound and the true path leaves a circle of 12 mm or wider: resweep;
//  * a fault shows beyond doubt: fail. That is, for
//      a dead place 6 mm or more across (dead line, partial line, dead area): contact was lost and regained
//        over it at least three times, the finger having gone 3 mm or more meanwhile; the same for a weak
//        line of any width, which loses now and then;
//      an insensitive edge band: at least three fingers that ran towards its side with 30 mm/s or more were
//        lost 4 mm or deeper inside the border;
//      bursts: at least five such losses;
//      ghosts: as many as the limit asks for, or more;
//      supply noise: true jitter of 1.2 times its limit, or more.
// All else (7.5 to 12 mm left, a fault that hardly showed, positions askew, which no trace tells) has no
// one right verdict and is left out of the right-verdict figure. 7.5 and 12 mm lie to either side of the
// fingertip of 8 mm that pass hangs on.
#pragma once

#include <optional>
#include <string>

#include "tests/truth/rehearsed_case.hpp"

namespace paneproof {

inline constexpr double pass_below_mm = 7.5, resweep_from_mm = 12;
inline constexpr double wide_zone_mm = 6, tellable_way_mm = 3;
inline constexpr int crossings_that_tell = 3, bursts_that_tell = 5;

// Diameter of the widest circle, centred on the panel, without any of these places.
double circle_left(const Panel& panel, const std::vector<Vec>& places);
// Where fingers went, pressed down; those up to half a fingertip over the border are on it. 0.3 mm apart.
std::vector<Vec> true_path(const Truth& truth, const Panel& panel);

// By a fault, seen again before the lift, and the finger went on meanwhile.
bool tellable(const Loss& loss);
int tellable_losses(const Truth& truth, FaultKind kind);
// Extent across the narrow way.
double narrow_mm(const DeadPlace& place);

struct ClearCut {
  std::optional<Outcome> outcome;  // none: no one right verdict
  std::string why;
};
ClearCut clear_cut(const RehearsedCase& c, const Limits& limits);

}  // namespace paneproof
