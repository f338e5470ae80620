#include "analyzer/measure/void_evidence.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr int enough_faults = 3;
constexpr double log_odds_enough = 2.3, barriers_enough = -45;
constexpr int fewest_crossings = 2;
constexpr double most_ahead = 10, most_agreeing = 10, most_apart = 25, most_aligned = 8, most_ragged = 10,
                 most_unround = 3, most_barrier = 24, most_shift = 5;
constexpr double most_turned = 6, most_turned_against = 3, most_quick = 2, no_hand_s = 0.07;
constexpr double kept_share = 0.75;
constexpr int fewest_alive = 3;
// Shifts of 2 mm and more are several times as common beside dead places, by those rehearsals.
constexpr double shift_slope = 1.15, no_shift = -0.1, large_shift = 2.2;

}  // namespace

const std::array<VoidSign, void_signs> void_sign_weights = {{{"before", -0.9},
                                                             {"once", -1.0},
                                                             {"faults", 4.5},
                                                             {"aligned", 0.75},
                                                             {"ragged", 0.7},
                                                             {"unround", 0.45},
                                                             {"ahead", 0.55},
                                                             {"agreeing", 0.38},
                                                             {"turned", 0.5},
                                                             {"quick", 1.5},
                                                             {"alive", 1.2},
                                                             {"barriers", 0.17},
                                                             {"shifts", 0.8}}};

double log_shifted(const std::vector<double>& shifts_mm) {
  double log_ratio = 0;
  for (const double mm : shifts_mm)
    log_ratio += std::clamp(shift_slope * mm + no_shift, no_shift, large_shift);
  return log_ratio;
}

std::array<double, void_signs> signs(const Void& v) {
  const bool kept = v.alive >= fewest_alive && v.alive >= kept_share * v.crossings;
  return {1,
          v.crossings < fewest_crossings ? 1.0 : 0.0,
          static_cast<double>(v.faults),
          std::clamp(v.log_aligned, 0.0, most_aligned),
          v.strip ? std::clamp(v.log_aligned, -most_ragged, 0.0) : 0.0,
          v.strip ? 0.0 : std::clamp(v.log_round, -most_unround, 0.0),
          std::clamp(log_ahead(v.paced), 0.0, most_ahead),
          std::clamp(log_agreeing(v.paced), -most_apart, most_agreeing),
          std::clamp(v.log_turned, -most_turned_against, most_turned),
          std::min(most_quick,
                   static_cast<double>(std::count_if(v.paced.begin(), v.paced.end(),
                                                     [](const Crossing& c) { return c.gap_s < no_hand_s; }))),
          kept ? 1.0 : 0.0,
          std::min(-v.barriers_log_chance, most_barrier),
          std::clamp(log_shifted(v.shifts_mm), 0.0, most_shift)};
}

double log_odds(const Void& v) {
  const std::array<double, void_signs> strengths = signs(v);
  double odds = 0;
  for (std::size_t k = 0; k < void_signs; ++k) odds += void_sign_weights[k].weight * strengths[k];
  return odds;
}

bool surely_dead(const Void& v) {
  return v.faults >= enough_faults || v.barriers_log_chance <= barriers_enough;
}

bool dead(const Void& v) { return surely_dead(v) || log_odds(v) >= log_odds_enough; }

}  // namespace paneproof
