// Alignment: do the crossings of a void end along straight lines of the panel, as at the border of a dead
// place, or where a hand chose to lift?
//
// Crossings that run along an axis are taken by side and by whether the finger vanished or came back there:
// each such group has one border of its own (a vanishing contact is held, a returning one is told late). Two
// explanations are weighed by a Bayes factor (Kass & Raftery 1995): ends scatter about their border by 0.1 to
// 0.5 mm (electrodes), or by 0.7 to 2.8 mm (hands that aim: common practice, no source), both widened by the
// step between two reports, with one end in ten anywhere within 12 mm. By Markov's inequality hands alone
// reach a factor of k in at most one case of k, as far as that holds of them.
#pragma once

#include <vector>

#include "analyzer/measure/findings.hpp"
#include "capture/model/panel.hpp"

namespace paneproof {

// ln of the Bayes factor, positive for electrodes. ends: where fingers vanished and where they came back, in
// turn; those within 3.5 mm of a side of the panel are left out, as it aligns them itself. step_mm: way of the
// finger between two reports. 0 where no group holds two ends.
double log_aligned(const std::vector<Point>& ends, const Panel& panel, double step_mm);

}  // namespace paneproof
