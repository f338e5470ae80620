// Alignment: do fingers that vanish beside a void, or come back there, do so along straight lines of the
// panel, as at the border of a dead place, or where a hand chose to lift?
//
// Arrivals that head along an axis are taken by side and by whether the finger vanished or came back: each
// such group has one border of its own (a vanishing contact is held, a returning one is told late). Two
// explanations are weighed by a Bayes factor (Kass & Raftery 1995): arrivals scatter about their border by
// 0.1 to 0.5 mm (electrodes), or by 0.7 to 2.8 mm (hands that aim: common practice, no source), both widened
// by the step between two reports, with one in ten anywhere within 12 mm. By Markov's inequality hands alone
// reach a factor of k in at most one case of k, as far as that holds of them.
#pragma once

#include <optional>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/side.hpp"
#include "capture/model/panel.hpp"

namespace paneproof {

struct Arrival {
  Point place;
  double towards_x = 0, towards_y = 0;  // unit vector of the finger's way into the void
  bool began = false;                   // it came back here, out of the void
};

// The side that an arrival heads for; nullopt where it runs askew.
std::optional<Side> headed_for(const Arrival& arrival);

// ln of the Bayes factor, positive for electrodes. Arrivals within 8 mm of the side they head for are left
// out: a frame stops all fingers alike. step_mm: way of the finger between two reports. 0 where no group
// holds two.
double log_aligned(const std::vector<Arrival>& arrivals, const Panel& panel, double step_mm);

}  // namespace paneproof
