#include "analyzer/measure/crossings.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {
namespace {

// Excess of the gap over the way, mm.
constexpr double dead_mm = 8.5, dead_sd_mm = 3.0, less_per_mm = 0.2, from_mm = 10, sd_per_mm = 0.1,
                 longest_mm = 40;
constexpr double dead_strays = 0.1, hand_strays = 0.7, strays_span_mm = 60;
constexpr double hand_reach_mm = 6, hand_reach_s = 0.09, log_no_hand = 3;
constexpr double another_mm = 30;  // so far ahead of the one finger it is another
constexpr double hand_mm = 0.5, hand_sd_mm = 3.0;

double normal(double x, double mean, double sd) {
  const double z = (x - mean) / sd;
  return 0.3989422804 / sd * std::exp(-z * z / 2);
}

}  // namespace

double log_ahead(const std::vector<Crossing>& crossings) {
  double log_ratio = 0;
  for (const Crossing& c : crossings) {
    const double excess_mm = c.gap_mm - c.way_mm, way_mm = std::min(c.way_mm, longest_mm);
    if (c.gap_s < hand_reach_s && excess_mm > hand_reach_mm && excess_mm < another_mm) {
      log_ratio += log_no_hand;
      continue;
    }
    const double dead = normal(excess_mm, dead_mm - less_per_mm * std::max(0.0, way_mm - from_mm),
                               dead_sd_mm + sd_per_mm * way_mm);
    const double hand = normal(excess_mm, hand_mm, hand_sd_mm);
    log_ratio += std::log(((1 - dead_strays) * dead + dead_strays / strays_span_mm) /
                          ((1 - hand_strays) * hand + hand_strays / strays_span_mm));
  }
  return log_ratio;
}

}  // namespace paneproof
