#include "analyzer/measure/regions.hpp"

#include <algorithm>
#include <cstddef>

namespace paneproof {
namespace {

using Mask = std::vector<std::uint8_t>;

// Along one line of `count` pixels, `step` apart: 1 where a pixel of `value` lies within `reach`.
void spread_line(const std::uint8_t* in, std::uint8_t* out, std::size_t count, std::size_t step,
                 std::size_t reach, std::uint8_t value) {
  std::size_t read = 0, left = 0;  // pixels read so far; for how many more the last one of that value counts
  for (std::size_t at = 0; at < count; ++at) {
    if (left > 0) --left;
    for (; read < count && read <= at + reach; ++read)
      if (in[read * step] == value) left = read + reach + 1 - at;
    out[at * step] = left > 0;
  }
}

// 1 where a pixel of `value` lies in the square of 2 reach + 1 about it.
Mask spread(const Mask& mask, std::size_t width, std::size_t height, std::size_t reach, std::uint8_t value) {
  Mask across(mask.size()), both(mask.size());
  for (std::size_t y = 0; y < height; ++y)
    spread_line(mask.data() + y * width, across.data() + y * width, width, 1, reach, value);
  for (std::size_t x = 0; x < width; ++x)
    spread_line(across.data() + x, both.data() + x, height, width, reach, 1);
  return both;
}

Mask closed(const Mask& mask, std::size_t width, std::size_t height, std::size_t reach) {
  Mask wide(mask.size());
  std::transform(mask.begin(), mask.end(), wide.begin(), [](std::uint8_t m) { return m != 0; });
  if (std::find(wide.begin(), wide.end(), 1) == wide.end()) return wide;
  wide = spread(wide, width, height, reach, 1);
  Mask back = spread(wide, width, height, reach, 0);
  for (std::uint8_t& pixel : back) pixel = !pixel;
  return back;
}

void join(Region& region, int x, int y) {
  region.left = std::min(region.left, x), region.right = std::max(region.right, x + 1);
  region.top = std::min(region.top, y), region.bottom = std::max(region.bottom, y + 1);
  ++region.pixels;
}

}  // namespace

Regions regions_of(const std::vector<std::uint8_t>& mask, int width, int height, int reach) {
  const Mask closed_mask = closed(mask, width, height, reach);
  Regions regions{std::vector<std::int32_t>(mask.size(), 0), std::vector<Region>(1)};
  std::vector<std::size_t> open;
  for (std::size_t start = 0; start < mask.size(); ++start) {
    if (!closed_mask[start] || regions.labels[start]) continue;
    const auto label = static_cast<std::int32_t>(regions.found.size());
    Region region{width, height, 0, 0, 0};
    open.assign(1, start);
    regions.labels[start] = label;
    while (!open.empty()) {
      const int x = static_cast<int>(open.back() % width), y = static_cast<int>(open.back() / width);
      open.pop_back();
      join(region, x, y);
      for (int ny = std::max(0, y - 1); ny <= std::min(height - 1, y + 1); ++ny)
        for (int nx = std::max(0, x - 1); nx <= std::min(width - 1, x + 1); ++nx) {
          const std::size_t next = static_cast<std::size_t>(ny) * width + nx;
          if (!closed_mask[next] || regions.labels[next]) continue;
          regions.labels[next] = label;
          open.push_back(next);
        }
    }
    regions.found.push_back(region);
  }
  return regions;
}

}  // namespace paneproof
