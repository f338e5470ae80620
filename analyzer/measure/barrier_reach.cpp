#include "analyzer/measure/barrier_reach.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr double nearest_mm = 3.0;  // beyond a place: as far as a finger that ends there is told
constexpr double empty_mm = 2.0;    // no report this near
constexpr double joined_mm = 20.0;  // places this near: what lies between is beyond the barrier too
constexpr double half_finger_mm = 2.0;
constexpr double widest_mm = 24.0;

struct Reach {
  double from_mm, to_mm;  // beyond a place
};

// Beyond a place of a barrier: from where no report lies, to where reports, or the side, begin again.
Reach clear_beyond(Point place, Side towards, const ReportField& field, const Panel& panel, double reach_mm) {
  const double step_mm = field.raster().pixel_mm;
  double mm = nearest_mm;
  const auto clear = [&] {
    const Point p = beyond(place, towards, mm);
    return !field.any_within(p.x_mm, p.y_mm, empty_mm) &&
           depth_from(towards, panel, p.x_mm, p.y_mm) > 0;
  };
  while (mm < reach_mm && !clear()) mm += step_mm;
  const double from_mm = mm == nearest_mm ? 0 : mm - empty_mm;
  while (mm < widest_mm && clear()) mm += step_mm;
  return {from_mm, mm};
}

// Blocks from each place to the next one along the barrier, as deep as the shallower of the two.
std::vector<Block> fill(const Barrier& barrier, const std::vector<Reach>& clear) {
  std::vector<Block> blocks;
  const bool side_on = upright(barrier.towards);
  std::vector<std::size_t> order(barrier.places.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  const auto along = [&](std::size_t i) {
    return side_on ? barrier.places[i].y_mm : barrier.places[i].x_mm;
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return along(a) < along(b); });
  const auto across = [&](std::size_t i, double mm) {
    const Point p = beyond(barrier.places[i], barrier.towards, mm);
    return side_on ? p.x_mm : p.y_mm;
  };
  for (std::size_t k = 0; k < order.size(); ++k) {
    const std::size_t i = order[k], j = order[std::min(k + 1, order.size() - 1)];
    const bool joined = along(j) - along(i) <= joined_mm;
    const double from = along(i) - half_finger_mm, to = joined ? along(j) : along(i) + half_finger_mm;
    const auto low = [&](std::size_t p) {
      return std::min(across(p, clear[p].from_mm), across(p, clear[p].to_mm));
    };
    const auto high = [&](std::size_t p) {
      return std::max(across(p, clear[p].from_mm), across(p, clear[p].to_mm));
    };
    const double near = joined ? std::max(low(i), low(j)) : low(i);
    const double far = joined ? std::min(high(i), high(j)) : high(i);
    if (side_on)
      blocks.push_back({near, far, from, to});
    else
      blocks.push_back({from, to, near, far});
  }
  return blocks;
}

}  // namespace

std::vector<Block> blocks_beyond(const Barrier& barrier, const ReportField& field, const Panel& panel,
                                 double reach_mm) {
  std::vector<Reach> clear;
  std::vector<double> to_mm;
  std::size_t to_side = 0;
  for (const Point place : barrier.places) {
    clear.push_back(clear_beyond(place, barrier.towards, field, panel, reach_mm));
    to_mm.push_back(clear.back().to_mm);
    const Point end = beyond(place, barrier.towards, clear.back().to_mm);
    to_side += depth_from(barrier.towards, panel, end.x_mm, end.y_mm) <= 0;
  }
  if (clear.empty() || 2 * to_side > clear.size()) return {};
  // Where the living strip beyond happens to hold no report, it is as far off as elsewhere.
  const auto middle = to_mm.begin() + static_cast<std::ptrdiff_t>(to_mm.size() / 2);
  std::nth_element(to_mm.begin(), middle, to_mm.end());
  for (Reach& reach : clear) reach.to_mm = std::min(reach.to_mm, *middle);
  return fill(barrier, clear);
}

}  // namespace paneproof
