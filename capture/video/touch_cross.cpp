// The lines of touch.hpp that cross at the finger.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "capture/video/touch.hpp"

namespace paneproof::video {

// Columns and rows that differ from the ground along most of the picture, and are thin: a cross is a pair.
void Touches::follow_cross(const Plane& plane, std::int64_t frame, std::int64_t t_us) {
  const int w = plane.width / step, h = plane.height / step;
  // To a fraction of a px: how much each column (row) differs from those three px beside it.
  const auto thin = [&](bool upright, double about) -> std::optional<double> {
    const int length = upright ? plane.width : plane.height, across = upright ? plane.height : plane.width;
    const auto value = [&](int a, int b) {
      return static_cast<int>(upright ? plane.row(b)[a] : plane.row(a)[b]);
    };
    double sum = 0, n = 0;
    for (int a = std::max(3, static_cast<int>(about) - 3);
         a <= std::min(length - 4, static_cast<int>(about) + 3); ++a) {
      double with = 0;
      int count = 0;
      for (int b = 1; b < across; b += 3, ++count) {
        const int left = std::abs(value(a, b) - value(a - 3, b)),
                  right = std::abs(value(a, b) - value(a + 3, b));
        with += std::clamp(std::min(left, right) - 4, 0, 40);
      }
      with = with / std::max(1, count) - 2;
      if (with > 0) sum += with * (a + 0.5), n += with;
    }
    if (n <= 0) return std::nullopt;
    return sum / n;
  };
  const auto lines = [&](bool upright) {
    const int length = upright ? w : h, across = upright ? h : w;
    std::vector<int> with(static_cast<std::size_t>(length));
    for (int y = 0; y < h; ++y)
      for (int x = 0; x < w; ++x)
        with[static_cast<std::size_t>(upright ? x : y)] += differs_[static_cast<std::size_t>(y) * w + x] != 0;
    std::vector<double> found;
    for (int a = 0; a < length; ++a) {
      const int here = with[static_cast<std::size_t>(a)];
      if (here < 0.45 * across || (a > 0 && with[static_cast<std::size_t>(a) - 1] > here) ||
          (a + 1 < length && with[static_cast<std::size_t>(a) + 1] >= here))
        continue;
      if (const auto place = thin(upright, step * (a + 0.5)); place && found.size() < 5)
        found.push_back(*place);
    }
    return found;
  };
  std::vector<double> columns = lines(true), rows = columns.empty() ? columns : lines(false);
  const auto take = [&](std::vector<double>& from, double near) -> std::optional<double> {
    const auto nearest = std::min_element(from.begin(), from.end(), [&](double a, double b) {
      return std::abs(a - near) < std::abs(b - near);
    });
    if (nearest == from.end() || std::abs(*nearest - near) > 0.25 * width_) return std::nullopt;
    const double place = *nearest;
    from.erase(nearest);
    return place;
  };
  for (std::size_t c = 0; c < open_.size();) {
    Contact& cross = open_[c];
    if (!cross.cross) {
      ++c;
      continue;
    }
    const std::size_t n = cross.way.size();
    double ex = cross.way.back().x, ey = cross.way.back().y;
    if (n > 1) ex += ex - cross.way[n - 2].x, ey += ey - cross.way[n - 2].y;
    const auto x = take(columns, ex), y = take(rows, ey);
    cross.way.push_back(
        {frame, t_us, x.value_or(cross.way.back().x), y.value_or(cross.way.back().y), x && y});
    cross.missed = x && y ? 0 : cross.missed + 1;
    if (cross.missed > most_missed) {
      end(std::move(cross), true, nullptr);
      open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(c));
    } else {
      ++c;
    }
  }
  if (columns.size() == 1 && rows.size() == 1) {
    Contact contact;
    contact.cross = true;
    contact.size = 0.02 * width_;
    contact.way.push_back({frame, t_us, columns[0], rows[0], true});
    open_.push_back(std::move(contact));
  }
}

}  // namespace paneproof::video
