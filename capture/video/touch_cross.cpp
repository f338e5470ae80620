// The lines of touch.hpp that cross at the finger.
//
// Column by column (and row by row) it is asked how much the picture has come to differ from the ground there
// more than three px beside it, all along: a line drawn across the whole picture does, all of one sign.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "capture/video/touch.hpp"

namespace paneproof::video {
namespace {

constexpr int beside = 3;        // px; a line is thinner
constexpr float most = 25;       // levels a pixel: what differs by more is no surer
constexpr float least_mean = 4;  // levels, of the whole column

// What each of a row's inner pixels differs by from both beside it, where these agree, is added to it.
void add_inner(const float* __restrict off, float* __restrict mean, int from, int to) {
  for (int a = from; a < to; ++a) {
    const float b1 = off[a] - off[a - beside], b2 = off[a] - off[a + beside];
    float less = std::abs(b1) < std::abs(b2) ? b1 : b2;
    less = less < -most ? -most : less;
    less = less > most ? most : less;
    mean[a] += b1 * b2 > 0 ? less : 0.0F;
  }
}

// Mean over the whole of each column (row).
std::vector<float> along(const Plane& plane, const std::vector<std::uint8_t>& ground, bool upright) {
  const int length = upright ? plane.width : plane.height, across = upright ? plane.height : plane.width;
  std::vector<float> mean(static_cast<std::size_t>(length)), off(static_cast<std::size_t>(length));
  int count = 0;
  for (int b = 1; b < across; b += 4, ++count) {
    for (int a = 0; a < length; ++a) {
      const std::size_t k = upright ? static_cast<std::size_t>(b) * plane.width + a
                                    : static_cast<std::size_t>(a) * plane.width + b;
      off[static_cast<std::size_t>(a)] = static_cast<float>(plane.luma[k] - ground[k]);
    }
    const auto add = [&](int a, int one, int other) {
      const float here = off[static_cast<std::size_t>(a)], b1 = here - off[static_cast<std::size_t>(one)],
                  b2 = here - off[static_cast<std::size_t>(other)];
      if (b1 * b2 > 0)
        mean[static_cast<std::size_t>(a)] += std::clamp(std::abs(b1) < std::abs(b2) ? b1 : b2, -most, most);
    };
    for (int a = 0; a < beside; ++a) add(a, a + beside, a + beside);
    add_inner(off.data(), mean.data(), beside, length - beside);
    for (int a = length - beside; a < length; ++a) add(a, a - beside, a - beside);
  }
  for (float& m : mean) m /= static_cast<float>(std::max(1, count));
  return mean;
}

// Lines to a fraction of a px, from the strongest on.
std::vector<double> lines(const std::vector<float>& mean) {
  std::vector<float> strength;
  for (const float m : mean) strength.push_back(std::abs(m));
  std::vector<float> sorted = strength;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2),
                   sorted.end());
  const float least = std::max(least_mean, 6 * sorted[sorted.size() / 2]);
  std::vector<std::pair<float, double>> found;
  const int n = static_cast<int>(strength.size());
  for (int a = 0; a < n; ++a) {
    const auto at = [&](int k) { return k < 0 || k >= n ? 0.0F : strength[static_cast<std::size_t>(k)]; };
    if (at(a) < least || at(a - 1) > at(a) || at(a + 1) >= at(a)) continue;
    double sum = 0, with = 0;
    for (int k = a - 1; k <= a + 1; ++k) {
      const bool same =
          k >= 0 && k < n && mean[static_cast<std::size_t>(k)] * mean[static_cast<std::size_t>(a)] > 0;
      const double w = same ? std::max(0.0F, at(k) - 0.1F * at(a)) : 0;
      sum += w * (k + 0.5), with += w;
    }
    found.emplace_back(at(a), sum / with);
  }
  std::sort(found.rbegin(), found.rend());
  std::vector<double> places;
  for (const auto& [strong, place] : found)
    if (places.size() < 6) places.push_back(place);
  return places;
}

struct Near {
  double place, off;
};

// The line nearest to where one is expected; it may be another's as well, where two meet.
std::optional<Near> nearest(const std::vector<double>& places, const std::vector<bool>& taken,
                            double expected, double reach) {
  std::optional<Near> best;
  for (std::size_t k = 0; k < places.size(); ++k) {
    const double off = std::abs(places[k] - expected) + (taken[k] ? 4 : 0);
    if ((taken[k] ? off < 8 : off < reach) && (!best || off < best->off)) best = Near{places[k], off};
  }
  return best;
}

void take(const std::vector<double>& places, std::vector<bool>& taken, double place) {
  for (std::size_t k = 0; k < places.size(); ++k)
    if (places[k] == place) taken[k] = true;
}

}  // namespace

void Touches::follow_cross(const Plane& plane, std::int64_t frame, std::int64_t t_us) {
  const std::vector<double> columns = lines(along(plane, ground_, true));
  const bool any = std::any_of(open_.begin(), open_.end(), [](const Contact& c) { return c.cross; });
  if (columns.empty() && !any) return;
  const std::vector<double> rows = lines(along(plane, ground_, false));
  std::vector<bool> column_taken(columns.size()), row_taken(rows.size());
  for (std::size_t c = 0; c < open_.size();) {
    Contact& cross = open_[c];
    if (!cross.cross) {
      ++c;
      continue;
    }
    double ex = 0, ey = 0;
    expect(cross, t_us, ex, ey);
    const auto x = nearest(columns, column_taken, ex, 0.15 * width_),
               y = nearest(rows, row_taken, ey, 0.15 * width_);
    if (x) take(columns, column_taken, x->place);
    if (y) take(rows, row_taken, y->place);
    // One line alone may be as light as its ground, or at the picture's side: where the finger was going.
    cross.way.push_back({frame, t_us, x ? x->place : ex, y ? y->place : ey, x && y});
    cross.reach = std::max(cross.reach, std::hypot(cross.way.back().x - cross.way.front().x,
                                                   cross.way.back().y - cross.way.front().y));
    cross.missed = x && y ? 0 : cross.missed + 1;
    if (cross.missed > ((x || y) ? 12 : most_missed)) {
      end(std::move(cross), true, nullptr);
      open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(c));
    } else {
      ++c;
    }
  }
  const auto only_free = [](const std::vector<double>& places, const std::vector<bool>& taken) {
    std::optional<double> one;
    if (std::count(taken.begin(), taken.end(), false) != 1) return one;
    one = places[static_cast<std::size_t>(std::find(taken.begin(), taken.end(), false) - taken.begin())];
    return one;
  };
  const auto x = only_free(columns, column_taken), y = only_free(rows, row_taken);
  if (!x || !y || open_.size() >= 10) return;
  Contact contact;
  contact.cross = true;
  contact.size = 0.02 * width_;
  contact.way.push_back({frame, t_us, *x, *y, true});
  open_.push_back(std::move(contact));
}

}  // namespace paneproof::video
