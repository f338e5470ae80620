// The lines of touch.hpp that cross at the finger.
//
// Column by column (and row by row) it is asked how much the picture has come to differ from the ground there
// more than three px beside it, all along: a line drawn across the whole picture does, all of one sign.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <optional>

#include "capture/video/touch.hpp"

namespace paneproof::video {
namespace {

constexpr int beside = 3;          // px; a line is thinner
constexpr int most = 8;            // levels a pixel: what differs by more is no surer ...
constexpr int most_told = 25;      // ... but tells better where
constexpr int most_rows = 1024;    // asked: sums stay within 16 bits
constexpr float least_mean = 1;    // levels, of the whole column ...
constexpr float least_new = 2.5F;  // ... and of one that comes
constexpr float stands_out = 5;    // times what nine in ten columns stay below

// Mean over the whole of each column (row), for whether a line is there and for where.
struct Along {
  std::vector<float> sure, told;
};

inline int within(int v, int limit) { return std::clamp(v, -limit, limit); }

// Of what a pixel differs by from both beside it, what these agree on.
inline int agreed(int b1, int b2) { return std::max(0, std::min(b1, b2)) + std::min(0, std::max(b1, b2)); }

using Eight = std::int16_t __attribute__((vector_size(16)));

Eight eight(const std::int16_t* from) {
  Eight e;
  std::memcpy(&e, from, sizeof e);
  return e;
}
Eight lesser(Eight a, Eight b) { return a < b ? a : b; }
Eight greater(Eight a, Eight b) { return a > b ? a : b; }

// The same of eight, added to their sums.
void add_eight(const std::int16_t* off, std::int16_t* sure, std::int16_t* told) {
  const Eight here = eight(off), b1 = here - eight(off - beside), b2 = here - eight(off + beside),
              both = greater(Eight{}, lesser(b1, b2)) + lesser(Eight{}, greater(b1, b2));
  const auto add = [&](std::int16_t* to, std::int16_t limit) {
    const Eight bound = Eight{} + limit, sum = eight(to) + greater(-bound, lesser(bound, both));
    std::memcpy(to, &sum, sizeof sum);
  };
  add(sure, most), add(told, most_told);
}

Along along(const Plane& plane, const std::vector<std::uint8_t>& ground, bool upright) {
  const int length = upright ? plane.width : plane.height, across = upright ? plane.height : plane.width;
  const auto size = static_cast<std::size_t>(length);
  std::vector<std::int16_t> off(size), sure(size), told(size);
  int count = 0;
  for (int b = 1; b < std::min(across, 4 * most_rows); b += 4, ++count) {
    if (upright) {
      const std::size_t row = static_cast<std::size_t>(b) * plane.width;
      const std::uint8_t *seen = plane.luma.data() + row, *under = ground.data() + row;
      for (int a = 0; a < length; ++a) off[a] = static_cast<std::int16_t>(seen[a] - under[a]);
    } else {
      for (int a = 0; a < length; ++a) {
        const std::size_t k = static_cast<std::size_t>(a) * plane.width + b;
        off[a] = static_cast<std::int16_t>(plane.luma[k] - ground[k]);
      }
    }
    const auto add = [&](int at, int one, int other) {
      const int both = agreed(off[at] - off[one], off[at] - off[other]);
      sure[at] = static_cast<std::int16_t>(sure[at] + within(both, most));
      told[at] = static_cast<std::int16_t>(told[at] + within(both, most_told));
    };
    int a = 0;
    for (; a < beside; ++a) add(a, a + beside, a + beside);
    for (; a + 8 + beside <= length; a += 8) add_eight(&off[a], &sure[a], &told[a]);
    for (; a < length; ++a) add(a, a - beside, a + beside < length ? a + beside : a - beside);
  }
  Along mean{{sure.begin(), sure.end()}, {told.begin(), told.end()}};
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
    const bool gone = !x && !y && !cross.weak;
    cross.way.push_back({frame, t_us, x ? x->place : ex, y ? y->place : ey, x && y, gone});
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
