#include "analyzer/measure/distance_map.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {
namespace {

constexpr float nowhere = 1e9F;

// Distance along the column to the nearest mark; `far` where the column has none.
std::vector<std::int32_t> down_columns(const std::vector<std::uint8_t>& marks, int width, int height,
                                       int far) {
  std::vector<std::int32_t> g(marks.size());
  const auto at = [&](int x, int y) { return static_cast<std::size_t>(y) * width + x; };
  for (int x = 0; x < width; ++x) g[at(x, 0)] = marks[at(x, 0)] ? 0 : far;
  for (int y = 1; y < height; ++y)
    for (int x = 0; x < width; ++x) g[at(x, y)] = marks[at(x, y)] ? 0 : std::min(far, g[at(x, y - 1)] + 1);
  for (int y = height - 2; y >= 0; --y)
    for (int x = 0; x < width; ++x) g[at(x, y)] = std::min(g[at(x, y)], g[at(x, y + 1)] + 1);
  return g;
}

// The lower envelope along one row: which column's parabola is lowest from which x on.
class Envelope {
 public:
  explicit Envelope(int width) : site_(width), from_(width) {}

  void over(const std::int32_t* g, int width, float* distance) {
    int last = 0;
    site_[0] = from_[0] = 0;
    for (int u = 1; u < width; ++u) {
      while (last >= 0 && height(g, from_[last], site_[last]) > height(g, from_[last], u)) --last;
      if (last < 0) {
        last = 0, site_[0] = u;
      } else if (const std::int64_t begin = 1 + crossing(g, site_[last], u); begin < width) {
        ++last, site_[last] = u, from_[last] = static_cast<int>(begin);
      }
    }
    for (int x = width - 1; x >= 0; --x) {
      distance[x] = std::sqrt(static_cast<float>(height(g, x, site_[last])));
      if (x == from_[last]) --last;
    }
  }

 private:
  static std::int64_t square(std::int64_t v) { return v * v; }
  static std::int64_t height(const std::int32_t* g, int x, int site) {
    return square(x - site) + square(g[site]);
  }
  // The last x at which the parabola of `left` is not above that of `right`.
  static std::int64_t crossing(const std::int32_t* g, int left, int right) {
    const std::int64_t top = square(right) - square(left) + square(g[right]) - square(g[left]);
    const std::int64_t two = 2 * (std::int64_t{right} - left);
    return top >= 0 ? top / two : -((-top + two - 1) / two);
  }
  std::vector<int> site_, from_;
};

}  // namespace

std::vector<float> distance_map(const std::vector<std::uint8_t>& marks, int width, int height) {
  std::vector<float> distance(marks.size(), nowhere);
  if (std::find_if(marks.begin(), marks.end(), [](std::uint8_t m) { return m != 0; }) == marks.end())
    return distance;
  const std::vector<std::int32_t> g = down_columns(marks, width, height, width + height);
  Envelope envelope(width);
  for (int y = 0; y < height; ++y) {
    const std::size_t row = static_cast<std::size_t>(y) * width;
    envelope.over(g.data() + row, width, distance.data() + row);
  }
  return distance;
}

}  // namespace paneproof
