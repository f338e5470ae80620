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

constexpr int beside = 3;          // px; a line is thinner
constexpr float most = 8;          // levels a pixel: what differs by more is no surer ...
constexpr float most_told = 25;    // ... but tells better where
constexpr float least_mean = 1;    // levels, of the whole column ...
constexpr float least_new = 2.5F;  // ... and of one that comes
constexpr float stands_out = 5;    // times what nine in ten columns stay below

// Mean over the whole of each column (row), for whether a line is there and for where.
struct Along {
  std::vector<float> sure, told;
};

inline float within(float v, float limit) {
  v = v < -limit ? -limit : v;
  return v > limit ? limit : v;
}

// What each of a row's inner pixels differs by from both beside it, where these agree, is added to it.
void add_inner(const float* __restrict off, float* __restrict sure, float* __restrict told, int from, int to) {
  for (int a = from; a < to; ++a) {
    const float b1 = off[a] - off[a - beside], b2 = off[a] - off[a + beside];
    const float less = std::abs(b1) < std::abs(b2) ? b1 : b2, agreed = b1 * b2 > 0 ? less : 0.0F;
    sure[a] += within(agreed, most);
    told[a] += within(agreed, most_told);
  }
}

Along along(const Plane& plane, const std::vector<std::uint8_t>& ground, bool upright) {
  const int length = upright ? plane.width : plane.height, across = upright ? plane.height : plane.width;
  Along mean{std::vector<float>(static_cast<std::size_t>(length)),
             std::vector<float>(static_cast<std::size_t>(length))};
  std::vector<float> off(static_cast<std::size_t>(length));
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
      if (b1 * b2 <= 0) return;
      const float least = std::abs(b1) < std::abs(b2) ? b1 : b2;
      mean.sure[static_cast<std::size_t>(a)] += within(least, most);
      mean.told[static_cast<std::size_t>(a)] += within(least, most_told);
    };
    for (int a = 0; a < beside; ++a) add(a, a + beside, a + beside);
    add_inner(off.data(), mean.sure.data(), mean.told.data(), beside, length - beside);
    for (int a = length - beside; a < length; ++a) add(a, a - beside, a - beside);
  }
  for (float& m : mean.sure) m /= static_cast<float>(std::max(1, count));
  return mean;
}

struct Line {
  double place;    // px, to a fraction
  float strength;  // levels
  bool clear;      // as one that comes must be
  bool weak;       // it may be lost from sight
};

// From the strongest on.
std::vector<Line> lines(const Along& mean) {
  std::vector<float> strength;
  for (const float m : mean.sure) strength.push_back(std::abs(m));
  std::vector<float> sorted = strength;
  const auto most_of = static_cast<std::ptrdiff_t>(sorted.size() * 9 / 10);
  std::nth_element(sorted.begin(), sorted.begin() + most_of, sorted.end());
  const float usual = stands_out * sorted[static_cast<std::size_t>(most_of)],
              least = std::max(least_mean, usual), clear = std::max(least_new, usual);
  std::vector<std::pair<float, double>> found;
  const int n = static_cast<int>(strength.size());
  for (int a = 0; a < n; ++a) {
    const auto at = [&](int k) { return k < 0 || k >= n ? 0.0F : strength[static_cast<std::size_t>(k)]; };
    const float top = mean.told[static_cast<std::size_t>(a)];
    if (at(a) < least || at(a - 1) > at(a) || at(a + 1) >= at(a) || top == 0) continue;
    double sum = 0, with = 0;
    for (int k = std::max(0, a - 1); k <= std::min(n - 1, a + 1); ++k) {
      const double share = mean.told[static_cast<std::size_t>(k)] / top, w = std::max(0.0, share - 0.1);
      sum += w * (k + 0.5), with += w;
    }
    found.emplace_back(at(a), sum / with);
  }
  std::sort(found.rbegin(), found.rend());
  std::vector<Line> best;
  for (const auto& [strong, place] : found)
    if (best.size() < 6) best.push_back({place, strong, strong >= clear, strong < 2 * least});
  return best;
}

struct Near {
  double place, off;
  bool weak;
};

// The line nearest to where one is expected; it may be another's as well, where two meet.
std::optional<Near> nearest(const std::vector<Line>& places, const std::vector<bool>& taken, double expected,
                            double reach) {
  std::optional<Near> best;
  for (std::size_t k = 0; k < places.size(); ++k) {
    const double off = std::abs(places[k].place - expected) + (taken[k] ? 4 : 0);
    if ((taken[k] ? off < 8 : off < reach) && (!best || off < best->off))
      best = Near{places[k].place, off, places[k].weak};
  }
  return best;
}

void take(const std::vector<Line>& places, std::vector<bool>& taken, double place) {
  for (std::size_t k = 0; k < places.size(); ++k)
    if (places[k].place == place) taken[k] = true;
}

}  // namespace

void Touches::follow_cross(const Plane& plane, std::int64_t frame, std::int64_t t_us) {
  const std::vector<Line> columns = lines(along(plane, ground_, true));
  const bool any = std::any_of(open_.begin(), open_.end(), [](const Contact& c) { return c.cross; });
  if (columns.empty() && !any) return;
  const std::vector<Line> rows = lines(along(plane, ground_, false));
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
    // Of a finger that was lifted neither line is left. One that was hardly seen may be as light as its
    // ground.
    cross.unseen = !(x && y) && (x || y || cross.unseen || (cross.missed == 0 && cross.weak));
    if (x && y) cross.weak = x->weak || y->weak;
    cross.missed = x && y ? 0 : cross.missed + 1;
    const auto seen = std::find_if(cross.way.rbegin(), cross.way.rend(), [](const At& a) { return a.known; });
    if (cross.missed > most_missed && !(cross.unseen && t_us - seen->t_us < unseen_us)) {
      cross.lost = cross.unseen;
      end(std::move(cross), true, nullptr);
      open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(c));
    } else {
      ++c;
    }
  }
  const auto only_free = [](const std::vector<Line>& places, const std::vector<bool>& taken) {
    std::optional<double> one;
    int free = 0;
    for (std::size_t k = 0; k < places.size(); ++k)
      if (!taken[k] && places[k].clear) one = places[k].place, ++free;
    return free == 1 ? one : std::nullopt;
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
