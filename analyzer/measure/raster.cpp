#include "analyzer/measure/raster.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {
namespace {
constexpr double finest_mm = 0.5;
constexpr double most_pixels = 1.5e6;
constexpr double margin_mm = 5.0;
}  // namespace

Raster raster_over(const Panel& panel) {
  Raster raster;
  const double finest_pixels = panel.width_mm * panel.height_mm / (finest_mm * finest_mm);
  raster.pixel_mm = finest_mm * std::max(1.0, std::ceil(std::sqrt(finest_pixels / most_pixels)));
  raster.columns = static_cast<int>(std::ceil(panel.width_mm / raster.pixel_mm - 1e-9));
  raster.rows = static_cast<int>(std::ceil(panel.height_mm / raster.pixel_mm - 1e-9));
  raster.margin = static_cast<int>(std::ceil(margin_mm / raster.pixel_mm));
  return raster;
}

std::vector<std::uint8_t> judged_pixels(const Raster& raster, const Panel& panel) {
  std::vector<std::uint8_t> judged(raster.size(), 0);
  for (int row = 0; row < raster.rows; ++row)
    for (int column = 0; column < raster.columns; ++column)
      judged[raster.index(column, row)] = panel.judged(raster.centre_mm(column), raster.centre_mm(row));
  return judged;
}

}  // namespace paneproof
