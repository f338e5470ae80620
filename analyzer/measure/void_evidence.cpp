#include "analyzer/measure/void_evidence.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {
namespace {

constexpr int enough_faults = 3;
constexpr double log_odds_enough = 2.0;
constexpr double before = -0.7, hardly_crossed = -1.3;  // where nothing else speaks
constexpr int fewest_crossings = 2;
constexpr double per_fault = 4.0;
constexpr double per_aligned = 1.1, most_aligned = 8, per_ragged = 1.9, most_ragged = 3;
constexpr double kept_alive = 1.2, kept_share = 0.75;
constexpr int fewest_alive = 3;
constexpr double per_barrier = 0.25, most_barrier = 24;
constexpr double per_error = 1.0, fewest_errors = -2, most_errors = 5, enough_shifts = 3;
constexpr double per_bend_mm = 0.55, least_bend_mm = -1, most_bend_mm = 2.5, most_bends = 4;
// Few shifts tell little of their scatter: one more is taken to lie this far off the mean.
constexpr double usual_scatter_mm = 1.0;

}  // namespace

void Shifts::add(double mm) {
  const double step = mm - mean_mm;
  mean_mm += step / ++count;
  squares_mm2 += step * (mm - mean_mm);
}

double Shifts::over_error() const {
  if (count == 0) return 0;
  const double variance = (squares_mm2 + usual_scatter_mm * usual_scatter_mm) / count;
  return mean_mm / std::sqrt(variance / count);
}

double log_odds(const Void& v, int faults) {
  double odds = before + per_fault * faults;
  if (v.crossings < fewest_crossings) odds += hardly_crossed;
  odds += per_aligned * std::clamp(v.log_aligned, 0.0, most_aligned);
  if (v.strip) odds += per_ragged * std::clamp(v.log_aligned, -most_ragged, 0.0);
  if (v.alive >= fewest_alive && v.alive >= kept_share * v.crossings) odds += kept_alive;
  odds += per_barrier * std::min(-v.barriers_log_chance, most_barrier);
  odds += per_error * std::clamp(v.shifts.over_error(), fewest_errors, most_errors) *
          std::min(1.0, v.shifts.count / enough_shifts);
  odds += per_bend_mm * std::clamp(v.bend_mm, least_bend_mm, most_bend_mm) *
          std::min<double>(v.bends, most_bends);
  return odds;
}

bool dead(const Void& v, int faults) {
  return faults >= enough_faults || log_odds(v, faults) >= log_odds_enough;
}

}  // namespace paneproof
