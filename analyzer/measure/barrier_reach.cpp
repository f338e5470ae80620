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
    return !field.any_within(p.x_mm, p.y_mm, empty_mm) && depth_from(towards, panel, p.x_mm, p.y_mm) > 0;
  };
  while (mm < reach_mm && !clear()) mm += step_mm;
  const double from_mm = mm == nearest_mm ? 0 : mm - empty_mm;
  while (mm < widest_mm && clear()) mm += step_mm;
  return {from_mm, mm};
}

// A block half a finger about each place, and one from each to the next along the barrier, as deep as the
// shallower of the two.
std::vector<Block> fill(const Barrier& barrier, const std::vector<Reach>& clear) {
  std::vector<Block> blocks;
  const bool side_on = upright(barrier.towards);
  std::vector<std::size_t> order(barrier.places.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  const auto along = [&](std::size_t i) { return side_on ? barrier.places[i].y_mm : barrier.places[i].x_mm; };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return along(a) < along(b); });
  const auto across = [&](std::size_t i, double mm) {
    const Point p = beyond(barrier.places[i], barrier.towards, mm);
    return side_on ? p.x_mm : p.y_mm;
  };
  const auto low = [&](std::size_t i) {
    return std::min(across(i, clear[i].from_mm), across(i, clear[i].to_mm));
  };
  const auto high = [&](std::size_t i) {
    return std::max(across(i, clear[i].from_mm), across(i, clear[i].to_mm));
  };
  const auto add = [&](double near, double far, double from, double to) {
    blocks.push_back(side_on ? Block{near, far, from, to} : Block{from, to, near, far});
  };
  for (std::size_t k = 0; k < order.size(); ++k) {
    const std::size_t i = order[k];
    add(low(i), high(i), along(i) - half_finger_mm, along(i) + half_finger_mm);
    if (k + 1 == order.size() || along(order[k + 1]) - along(i) > joined_mm) continue;
    const std::size_t j = order[k + 1];
    add(std::max(low(i), low(j)), std::min(high(i), high(j)), along(i), along(j));
  }
  return blocks;
}

}  // namespace

bool lives_beyond(const Barrier& barrier, const ReportField& field, const Panel& panel, double reach_mm) {
  std::size_t to_side = 0;
  for (const Point place : barrier.places) {
    const Point end =
        beyond(place, barrier.towards, clear_beyond(place, barrier.towards, field, panel, reach_mm).to_mm);
    to_side += depth_from(barrier.towards, panel, end.x_mm, end.y_mm) <= 0;
  }
  return !barrier.places.empty() && 2 * to_side <= barrier.places.size();
}

std::vector<Block> blocks_beyond(const Barrier& barrier, const ReportField& field, const Panel& panel,
                                 double reach_mm) {
  if (barrier.places.empty()) return {};
  std::vector<Reach> clear;
  std::vector<double> to_mm;
  for (const Point place : barrier.places) {
    clear.push_back(clear_beyond(place, barrier.towards, field, panel, reach_mm));
    to_mm.push_back(clear.back().to_mm);
  }
  // Where the living strip beyond happens to hold no report, it is as far off as elsewhere.
  const auto middle = to_mm.begin() + static_cast<std::ptrdiff_t>(to_mm.size() / 2);
  std::nth_element(to_mm.begin(), middle, to_mm.end());
  for (Reach& reach : clear) reach.to_mm = std::min(reach.to_mm, *middle);
  return fill(barrier, clear);
}

}  // namespace paneproof
