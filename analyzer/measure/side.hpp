// The four sides of a panel.
#pragma once

#include <cstdint>

#include "capture/model/panel.hpp"

namespace paneproof {

enum class Side : std::uint8_t { left, right, top, bottom };

inline bool upright(Side side) { return side == Side::left || side == Side::right; }

// How far a point lies from the side, mm.
inline double depth_from(Side side, const Panel& panel, double x_mm, double y_mm) {
  switch (side) {
    case Side::left: return x_mm;
    case Side::right: return panel.width_mm - x_mm;
    case Side::top: return y_mm;
    case Side::bottom: return panel.height_mm - y_mm;
  }
  return 0;
}

}  // namespace paneproof
