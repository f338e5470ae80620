// The four sides of a panel.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "capture/model/panel.hpp"

namespace paneproof {

enum class Side : std::uint8_t { left, right, top, bottom };

inline bool upright(Side side) { return side == Side::left || side == Side::right; }

// How far a point lies from the side, mm.
inline double depth_from(Side side, const Panel& panel, double x_mm, double y_mm) {
  switch (side) {
    case Side::left:
      return x_mm;
    case Side::right:
      return panel.width_mm - x_mm;
    case Side::top:
      return y_mm;
    case Side::bottom:
      return panel.height_mm - y_mm;
  }
  return 0;
}

// Depth from the nearest side, mm.
inline double depth_from_nearest(const Panel& panel, double x_mm, double y_mm) {
  return std::min({x_mm, y_mm, panel.width_mm - x_mm, panel.height_mm - y_mm});
}

// How much of a direction (dx, dy), a unit vector, leads to the side: its cosine, 1 straight to it.
inline double towards(Side side, double dx, double dy) {
  const double along = upright(side) ? dx : dy;
  return side == Side::left || side == Side::top ? -along : along;
}

// Does a finger at a place going (dx, dy), a unit vector, leave the glass within 6 mm, or run along its very
// edge (2.5 mm)? There a contact ends by itself. Common practice, no source.
inline bool leaves_glass(const Panel& panel, double x_mm, double y_mm, double dx, double dy) {
  constexpr double off_glass_mm = 6.0, along_edge_mm = 2.5;
  for (const Side side : {Side::left, Side::right, Side::top, Side::bottom}) {
    const double depth_mm = depth_from(side, panel, x_mm, y_mm);
    if (depth_mm < along_edge_mm || (depth_mm < off_glass_mm && towards(side, dx, dy) > 0.3)) return true;
  }
  return false;
}

// Firmware tells a finger that is partly off the glass right at the border (1 mm), and leaps there from up to
// 8 mm inside, or back. Common practice, no source.
inline bool leaps_to_border(const Panel& panel, double x0_mm, double y0_mm, double x1_mm, double y1_mm) {
  constexpr double at_border_mm = 1.0, longest_mm = 8.0;
  const double x = std::abs(x1_mm - x0_mm), y = std::abs(y1_mm - y0_mm);
  if (std::max(x, y) > longest_mm) return false;
  for (const Side side : {Side::left, Side::right, Side::top, Side::bottom})
    if ((upright(side) ? x >= y : y >= x) && std::min(depth_from(side, panel, x0_mm, y0_mm),
                                                      depth_from(side, panel, x1_mm, y1_mm)) <= at_border_mm)
      return true;
  return false;
}

}  // namespace paneproof
