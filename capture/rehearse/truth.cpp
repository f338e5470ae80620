#include "capture/rehearse/truth.hpp"

#include <algorithm>

namespace paneproof {
namespace {

Mask empty_mask(double width, double height) {
  Mask mask;
  mask.columns = std::max(1, static_cast<int>(width + 0.5));
  mask.rows = std::max(1, static_cast<int>(height + 0.5));
  mask.cells.assign(static_cast<std::size_t>(mask.columns) * mask.rows, 0);
  return mask;
}

// Sets the cells whose centres lie within `reach` of a point.
void stamp(Mask& mask, Vec at, double reach) {
  const int top = std::max(0, static_cast<int>(at.y - reach)),
            left = std::max(0, static_cast<int>(at.x - reach));
  const int bottom = std::min(mask.rows - 1, static_cast<int>(at.y + reach));
  const int right = std::min(mask.columns - 1, static_cast<int>(at.x + reach));
  for (int j = top; j <= bottom; ++j)
    for (int i = left; i <= right; ++i) {
      const double dx = i + 0.5 - at.x, dy = j + 0.5 - at.y;
      if (dx * dx + dy * dy <= reach * reach) mask.cells[static_cast<std::size_t>(j) * mask.columns + i] = 1;
    }
}

}  // namespace

double Mask::share() const {
  if (cells.empty()) return 0;
  return static_cast<double>(std::count(cells.begin(), cells.end(), 1)) / static_cast<double>(cells.size());
}

Mask met_mask(const std::vector<std::vector<FingerSample>>& fingers, double width, double height) {
  Mask mask = empty_mask(width, height);
  for (const auto& finger : fingers) {
    Vec last{-1e9, -1e9};
    for (const FingerSample& s : finger) {
      if (!s.down || s.touch < 0.5) continue;
      if (s.at.x < 0 || s.at.y < 0 || s.at.x > width || s.at.y > height) continue;
      if (portable::length(s.at.x - last.x, s.at.y - last.y) < 0.3) continue;
      last = s.at;
      stamp(mask, s.at, fingertip_reach_mm);
    }
  }
  return mask;
}

// Squared distance to the nearest set cell, by two passes (Felzenszwalb and Huttenlocher's idea with
// plain search along columns: the masks are small).
double widest_gap(const Mask& mask) {
  const int far = mask.columns + mask.rows;
  std::vector<int> across(mask.cells.size(), far);
  for (int j = 0; j < mask.rows; ++j) {
    int last = -far;
    for (int i = 0; i < mask.columns; ++i) {
      if (mask.at(i, j)) last = i;
      across[static_cast<std::size_t>(j) * mask.columns + i] = std::min(far, i - last);
    }
    last = 3 * far;
    for (int i = mask.columns; i-- > 0;) {
      if (mask.at(i, j)) last = i;
      int& d = across[static_cast<std::size_t>(j) * mask.columns + i];
      d = std::min(d, last - i);
    }
  }
  double widest = 0;
  for (int i = 0; i < mask.columns; ++i)
    for (int j = 0; j < mask.rows; ++j) {
      double best = 4.0 * far * far;
      for (int k = 0; k < mask.rows; ++k) {
        const double dy = k - j;
        if (dy * dy >= best) {
          if (k > j) break;
          continue;
        }
        const double dx = across[static_cast<std::size_t>(k) * mask.columns + i];
        best = std::min(best, dx * dx + dy * dy);
      }
      widest = std::max(widest, best);
    }
  return 2 * std::sqrt(widest);
}

bool inside(const DeadPlace& place, Vec at) {
  const double rx = place.width_mm / 2, ry = place.height_mm / 2;
  const double dx = at.x - place.x_mm - rx, dy = at.y - place.y_mm - ry;
  if (place.disc) return dx * dx / (rx * rx) + dy * dy / (ry * ry) <= 1;
  return dx >= -rx && dx <= rx && dy >= -ry && dy <= ry;
}

double share_met(const DeadPlace& place, const Mask& met) {
  int cells = 0, set = 0;
  for (int j = 0; j < met.rows; ++j)
    for (int i = 0; i < met.columns; ++i)
      if (inside(place, {i + 0.5, j + 0.5})) ++cells, set += met.at(i, j);
  return cells ? static_cast<double>(set) / cells : 0;
}

void map_dead(const NodeGrid& grid, const Personality& personality, const Faults& faults, Mask& blind,
              Mask& unreachable) {
  blind = unreachable = empty_mask(grid.width_mm, grid.height_mm);
  Mask near = blind;
  bool any = false;
  for (const DeadPlace& place : faults.places()) {
    if (!place.always) continue;
    any = true;
    for (int j = 0; j < near.rows; ++j)
      for (int i = 0; i < near.columns; ++i) {
        const double x = i + 0.5, y = j + 0.5, reach = 12;
        if (x > place.x_mm - reach && x < place.x_mm + place.width_mm + reach && y > place.y_mm - reach &&
            y < place.y_mm + place.height_mm + reach)
          near.cells[static_cast<std::size_t>(j) * near.columns + i] = 1;
      }
  }
  if (!any) return;
  const TouchFinder finder(grid, personality);
  NodeFrame frame(grid);
  Mask sound = blind, faulty = blind;
  const double spread = spread_of_contact(8.5);
  for (int j = 0; j < near.rows; ++j)
    for (int i = 0; i < near.columns; ++i) {
      if (!near.at(i, j)) continue;
      collect(frame, grid, {{{i + 0.5, j + 0.5}, spread, spread, 1, Touching::finger}});
      const std::vector<Peak> healthy = finder.find(frame, personality.off);
      faults.act_always(frame);
      const std::vector<Peak> left = finder.find(frame, personality.off);
      if (!healthy.empty()) stamp(sound, healthy.front().at, 1.2);
      for (const Peak& peak : left) stamp(faulty, peak.at, 1.2);
      if (!healthy.empty() && left.empty()) blind.cells[static_cast<std::size_t>(j) * near.columns + i] = 1;
    }
  for (std::size_t k = 0; k < sound.cells.size(); ++k)
    unreachable.cells[k] = sound.cells[k] && !faulty.cells[k];
}

}  // namespace paneproof
