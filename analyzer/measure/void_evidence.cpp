#include "analyzer/measure/void_evidence.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/scatter.hpp"

namespace paneproof {
namespace {

constexpr int fewest_faults = 3, fewest_crossings = 2;
constexpr int fewest_alive = 3, fewest_alive_of_several = 2, several = 4;
constexpr double log_barriers =
    -16.0;  // taken together: hands that leave out the same place stop with some care
constexpr int fewest_to_scatter = 6;
constexpr double ragged_mm = 1.2;  // standard deviation; 0.7 to 3 of hands, 0.01 to 1.1 of dead lines
constexpr double bend_mm_of_several = 0.8, bend_mm_of_one = 1.5;
constexpr int fewest_bends = 2, bends_of_one = 3, fewest_shifts = 3;
constexpr double least_shift_mm =
    0.2;  // where many end beside it right on their line, few bends tell nothing
constexpr double shift_mm_of_several = 0.5, shift_over_error = 2.5;
// Few shifts tell little of their scatter: one more is taken to lie this far off the mean.
constexpr double usual_scatter_mm = 1.0;

bool pushed_away(const Void& v) {
  if (v.crossings == 1) return v.bends >= bends_of_one && v.bend_mm >= bend_mm_of_one;
  if (v.crossings < fewest_crossings) return false;
  if (v.bends >= fewest_bends && v.bend_mm >= bend_mm_of_several && v.shifts.mean_mm >= least_shift_mm)
    return true;
  return v.shifts.count >= fewest_shifts && v.shifts.mean_mm >= shift_mm_of_several &&
         v.shifts.over_error() >= shift_over_error;
}

// Do the crossings of a strip end raggedly on one side of it, as a hand's do?
bool ragged(const Void& v, Along strip) {
  if (strip == Along::none) return false;
  std::vector<double> low, high;
  for (std::size_t k = 0; k + 1 < v.ends.size(); k += 2) {
    const double p = strip == Along::column ? v.ends[k].x_mm : v.ends[k].y_mm;
    const double q = strip == Along::column ? v.ends[k + 1].x_mm : v.ends[k + 1].y_mm;
    low.push_back(std::min(p, q)), high.push_back(std::max(p, q));
  }
  if (low.size() < fewest_to_scatter) return false;
  return std::max(scatter_of(low), scatter_of(high)) > ragged_mm;
}

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

bool dead(const Void& v, int faults, Along strip) {
  if (faults >= fewest_faults || v.alive >= fewest_alive) return true;
  if (v.alive >= fewest_alive_of_several && v.crossings >= several) return true;
  if (v.barriers_log_chance <= log_barriers && !ragged(v, strip)) return true;
  return pushed_away(v);
}

}  // namespace paneproof
