#include "analyzer/measure/crosses.hpp"

#include <algorithm>
#include <vector>

namespace paneproof {
namespace {

constexpr double most_of = 0.65;  // of the box's height (width)
constexpr double least_longer = 1.5, shortest_arm_mm = 25.0;

struct Band {
  int first = 0, last = -1;
  int count() const { return last - first + 1; }
};

// About the fullest line, all neighbours that are as good as full.
Band band_of(const std::vector<int>& full, int extent) {
  const auto most = std::max_element(full.begin(), full.end());
  if (*most < most_of * extent) return {};
  Band band{static_cast<int>(most - full.begin()), static_cast<int>(most - full.begin())};
  const auto holds = [&](int k) {
    return k >= 0 && k < static_cast<int>(full.size()) &&
           full[static_cast<std::size_t>(k)] >= most_of * *most;
  };
  while (holds(band.first - 1)) --band.first;
  while (holds(band.last + 1)) ++band.last;
  return band;
}

}  // namespace

std::optional<Cross> cross_of(const Regions& regions, std::int32_t label, const Raster& raster) {
  const Region& r = regions.found[static_cast<std::size_t>(label)];
  const int width = r.right - r.left, height = r.bottom - r.top;
  if (width <= 0 || height <= 0) return std::nullopt;
  std::vector<int> down(static_cast<std::size_t>(width), 0), across(static_cast<std::size_t>(height), 0);
  for (int y = r.top; y < r.bottom; ++y)
    for (int x = r.left; x < r.right; ++x)
      if (regions.labels[static_cast<std::size_t>(y) * raster.stride() + static_cast<std::size_t>(x)] ==
          label)
        ++down[static_cast<std::size_t>(x - r.left)], ++across[static_cast<std::size_t>(y - r.top)];
  const Band columns = band_of(down, height), rows = band_of(across, width);
  const auto narrow = [&](const Band& band, int along, int other) {
    return band.count() > 0 && band.count() * raster.pixel_mm <= widest_line_mm &&
           along * raster.pixel_mm >= shortest_arm_mm && along >= least_longer * band.count() &&
           other >= least_longer * band.count();
  };
  if (!narrow(columns, height, width) || !narrow(rows, width, height)) return std::nullopt;
  const auto mm = [&](int pixel) { return (pixel - raster.margin) * raster.pixel_mm; };
  return Cross{{mm(r.left + columns.first), mm(r.top), mm(r.left + columns.last + 1), mm(r.bottom)},
               {mm(r.left), mm(r.top + rows.first), mm(r.right), mm(r.top + rows.last + 1)}};
}

}  // namespace paneproof
