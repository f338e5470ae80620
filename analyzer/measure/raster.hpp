// A fine raster over the panel on which areas are measured: square pixels, much smaller than a cell,
// with a margin around the glass for reports that lie a little outside it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "capture/model/panel.hpp"

namespace paneproof {

struct Raster {
  double pixel_mm = 0.5;      // 0.5, or a multiple of it on panels so large that memory would not be bounded
  int columns = 0, rows = 0;  // pixels over the glass; the last ones may reach past its edge
  int margin = 0;             // pixels around the glass
  int stride() const { return columns + 2 * margin; }
  int height() const { return rows + 2 * margin; }
  std::size_t size() const { return static_cast<std::size_t>(stride()) * height(); }
  // Index into an array of size(); column and row may run into the margin.
  std::size_t index(int column, int row) const {
    return static_cast<std::size_t>(row + margin) * stride() + (column + margin);
  }
  double centre_mm(int at) const { return (at + 0.5) * pixel_mm; }
  // Pixel column or row that holds a coordinate, not clamped.
  int at(double mm) const {
    const double pixel = std::clamp(mm / pixel_mm, -1e8, 1e8);
    const int towards_zero = static_cast<int>(pixel);
    return towards_zero - (pixel < towards_zero);
  }
  bool holds(int column, int row) const {
    return column >= -margin && row >= -margin && column < columns + margin && row < rows + margin;
  }
};

Raster raster_over(const Panel& panel);

// 1 where the pixel's centre is judged (inside the glass, the rim line and outside the mask).
std::vector<std::uint8_t> judged_pixels(const Raster& raster, const Panel& panel);

}  // namespace paneproof
