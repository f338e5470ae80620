#include "analyzer/measure/made_by.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/crossings.hpp"
#include "analyzer/measure/scatter.hpp"

namespace paneproof {
namespace {

constexpr double ahead_mm = 3.0, ahead_share = 0.1;
constexpr double hand_fastest_s = 0.045;  // no hand lifts and lands again faster than this
constexpr double hand_reach_mm = 6.0;     // nor in twice that time this far ahead of its own motion
// Three dead lines of the widest pitch and a fingertip make gaps of this; wider ones are told by voids.hpp.
constexpr double widest_line_mm = 24.0;
constexpr double shortest_hop_mm =
    12.0;  // hands hop over no less again and again (common practice, no source)
constexpr double agree_mm = 2.5, agree_share = 0.1, agreeing = 0.75;
// Of the ends of ways at a dead line, standard deviation: 0.01 to 0.6 in rehearsals; of hands that aim, 0.7
// to 3.
constexpr double straight_mm = 0.5, step_share = 0.3;  // 0.29: what falls anywhere within a step
constexpr std::size_t fewest_aimed = 4;
constexpr int fewest_each_way = 3;
constexpr double log_ahead_enough = 2.0;  // odds of 7 to 1

// Do gaps lie along rows and along columns, three or more of each? A hand that leaves out the same place in
// two sweeps over it, in one way and the other, is not looked for.
bool both_ways(const std::vector<Silence>& all, const std::vector<std::uint32_t>& group) {
  int across = 0, down = 0;
  for (const std::uint32_t i : group) {
    const double x = std::abs(all[i].to.x_mm - all[i].from.x_mm),
                 y = std::abs(all[i].to.y_mm - all[i].from.y_mm);
    across += x > 2 * y, down += y > 2 * x;
  }
  return across >= fewest_each_way && down >= fewest_each_way;
}

double median(std::vector<double>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

MadeBy made_by(const Silence& s) {
  if (s.kind == Silence::Kind::leap) return MadeBy::nobody;
  if (s.kind == Silence::Kind::hole) return MadeBy::host;
  if (s.one_sided) return MadeBy::hand;
  if (s.gap_s - s.interval_s < hand_fastest_s) return MadeBy::nobody;
  if (s.excess_mm > hand_reach_mm && s.gap_s < 2 * hand_fastest_s) return MadeBy::nobody;
  return s.excess_mm > ahead_mm + ahead_share * (s.gap_mm - s.excess_mm) ? MadeBy::reach : MadeBy::hand;
}

bool hand_made(const std::vector<Silence>& all, const std::vector<std::uint32_t>& group) {
  std::vector<Crossing> crossings;
  std::vector<double> excess, gaps;
  std::size_t sure = 0;
  for (const std::uint32_t i : group) {
    if (made_by(all[i]) == MadeBy::nobody) ++sure;
    if (!in_the_air(all[i])) continue;
    crossings.push_back({all[i].gap_mm, all[i].gap_mm - all[i].excess_mm, all[i].gap_s});
    excess.push_back(all[i].excess_mm), gaps.push_back(all[i].gap_mm);
  }
  if (crossings.empty() || 2 * sure >= crossings.size()) return false;
  const double usual_gap_mm = median(gaps);
  if (usual_gap_mm > shortest_hop_mm && log_ahead(crossings) < log_ahead_enough && !both_ways(all, group))
    return true;
  if (usual_gap_mm > widest_line_mm) return true;
  const double usual = median(excess);
  std::size_t agree = 0;
  for (const std::uint32_t i : group)
    if (in_the_air(all[i]) && !all[i].mistimed)
      agree += std::abs(all[i].excess_mm - usual) <=
               agree_mm + agree_share * std::abs(all[i].gap_mm - all[i].excess_mm);
  return static_cast<double>(agree) < agreeing * static_cast<double>(crossings.size());
}

bool aimed(const std::vector<Silence>& all, const std::vector<std::uint32_t>& group, bool column) {
  if (group.size() < fewest_aimed) return false;
  std::vector<double> low, high, steps;
  for (const std::uint32_t i : group) {
    if (!in_the_air(all[i])) continue;
    const double p = column ? all[i].from.x_mm : all[i].from.y_mm,
                 q = column ? all[i].to.x_mm : all[i].to.y_mm;
    low.push_back(std::min(p, q)), high.push_back(std::max(p, q));
    steps.push_back(all[i].speed_mm_s * all[i].interval_s);
  }
  if (2 * low.size() < group.size()) return false;
  const double sharp_mm = straight_mm + step_share * median(steps);
  return std::max(scatter_of(low), scatter_of(high)) > sharp_mm;
}

}  // namespace paneproof
