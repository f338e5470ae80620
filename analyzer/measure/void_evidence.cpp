#include "analyzer/measure/void_evidence.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr int enough_faults = 3;
constexpr double log_odds_enough = 2.3;
constexpr double before = -0.9, hardly_crossed = -1.0;  // where nothing else speaks
constexpr int fewest_crossings = 2;
constexpr double per_fault = 4.5;
constexpr double per_ahead = 0.55, most_ahead = 10;
constexpr double per_agreeing = 0.38, most_agreeing = 10;
constexpr double per_aligned = 0.75, most_aligned = 8, per_ragged = 0.7, most_ragged = 10;
constexpr double per_unround = 0.45, most_unround = 3;
constexpr double per_shift = 0.8, most_shift = 5;
constexpr double kept_alive = 1.2, kept_share = 0.75;
constexpr int fewest_alive = 3;
constexpr double per_barrier = 0.17, most_barrier = 24;
// Shifts of 2 mm and more are several times as common beside dead places, by those rehearsals.
constexpr double shift_slope = 1.15, no_shift = -0.1, large_shift = 2.2;

}  // namespace

double log_shifted(const std::vector<double>& shifts_mm) {
  double log_ratio = 0;
  for (const double mm : shifts_mm)
    log_ratio += std::clamp(shift_slope * mm + no_shift, no_shift, large_shift);
  return log_ratio;
}

double log_odds(const Void& v, int faults) {
  double odds = before + per_fault * faults;
  if (v.crossings < fewest_crossings) odds += hardly_crossed;
  odds += per_aligned * std::clamp(v.log_aligned, 0.0, most_aligned);
  if (v.strip) odds += per_ragged * std::clamp(v.log_aligned, -most_ragged, 0.0);
  odds += per_unround * std::clamp(v.log_round, -most_unround, 0.0);
  odds += per_ahead * std::clamp(log_ahead(v.paced), 0.0, most_ahead);
  odds += per_agreeing * std::clamp(log_agreeing(v.paced), -most_agreeing, most_agreeing);
  if (v.alive >= fewest_alive && v.alive >= kept_share * v.crossings) odds += kept_alive;
  odds += per_barrier * std::min(-v.barriers_log_chance, most_barrier);
  odds += per_shift * std::clamp(log_shifted(v.shifts_mm), 0.0, most_shift);
  return odds;
}

bool dead(const Void& v, int faults) {
  return faults >= enough_faults || log_odds(v, faults) >= log_odds_enough;
}

}  // namespace paneproof
