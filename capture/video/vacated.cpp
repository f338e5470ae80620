#include "capture/video/vacated.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "capture/video/median.hpp"

namespace paneproof::video {
namespace {

// What counts as changed, of the mean over 3 x 3: as many times its grain, within bounds.
constexpr double beyond_grain = 5, least_levels = 2, most_levels = 10;
constexpr double least_side = 0.08;  // of the width: a thing that a finger can take up

struct Mask {
  int width = 0, height = 0;
  std::vector<std::uint8_t> set;
  std::uint8_t& at(int x, int y) { return set[static_cast<std::size_t>(y) * width + x]; }
};

// Sums over squares of so many px each way about each place, those cut off by the sides without what lacks.
template <class Value>
std::vector<int> sums_about(const std::vector<Value>& of, int width, int height, int reach) {
  std::vector<int> rows(of.size()), all(of.size());
  for (int y = 0; y < height; ++y) {
    const Value* in = of.data() + static_cast<std::ptrdiff_t>(y) * width;
    int* out = rows.data() + static_cast<std::ptrdiff_t>(y) * width;
    int sum = 0;
    for (int x = 0; x < std::min(reach, width); ++x) sum += in[x];
    for (int x = 0; x < width; ++x) {
      if (x + reach < width) sum += in[x + reach];
      if (x - reach - 1 >= 0) sum -= in[x - reach - 1];
      out[x] = sum;
    }
  }
  std::vector<int> sum(static_cast<std::size_t>(width));
  const auto add = [&](int y, int sign) {
    const int* in = rows.data() + static_cast<std::ptrdiff_t>(y) * width;
    for (int x = 0; x < width; ++x) sum[static_cast<std::size_t>(x)] += sign * in[x];
  };
  for (int y = 0; y < std::min(reach, height); ++y) add(y, 1);
  for (int y = 0; y < height; ++y) {
    if (y + reach < height) add(y + reach, 1);
    if (y - reach - 1 >= 0) add(y - reach - 1, -1);
    std::copy(sum.begin(), sum.end(), all.begin() + static_cast<std::ptrdiff_t>(y) * width);
  }
  return all;
}

int middle_of(std::vector<int>& some) {
  const auto half = some.begin() + static_cast<std::ptrdiff_t>(some.size() / 2);
  std::nth_element(some.begin(), half, some.end());
  return *half;
}

// What differs by more than grain and by more than the camera's exposure makes all of it differ.
Mask changed(const Plane& a, const Plane& b) {
  std::vector<std::int16_t> apart(a.luma.size());
  for (std::size_t k = 0; k < apart.size(); ++k) apart[k] = static_cast<std::int16_t>(b.luma[k] - a.luma[k]);
  const std::vector<int> soft = sums_about(apart, a.width, a.height, 1);
  std::vector<int> some;
  for (std::size_t k = 0; k < soft.size(); k += 7) some.push_back(soft[k]);
  const int exposure = middle_of(some);
  for (int& s : some) s = std::abs(s - exposure);
  const double grain = 1.48 * middle_of(some),
               limit = std::clamp(beyond_grain * grain, 9 * least_levels, 9 * most_levels);
  std::vector<std::uint8_t> set(soft.size());
  for (std::size_t k = 0; k < soft.size(); ++k) set[k] = std::abs(soft[k] - exposure) > limit;
  const std::vector<int> about = sums_about(set, a.width, a.height, 2);
  for (std::size_t k = 0; k < set.size(); ++k) set[k] = about[k] >= 12;
  return {a.width, a.height, std::move(set)};
}

// First and last place of the stretch about the middle over which it is at least so wide: what hangs on by a
// neck, a label or a badge, is not the plate.
std::pair<int, int> without_necks(const std::vector<int>& wide, int middle) {
  const int most = *std::max_element(wide.begin(), wide.end());
  const auto thick = [&](int k) { return 20 * wide[static_cast<std::size_t>(k)] >= 9 * most; };
  int first = middle, last = middle;
  while (first > 0 && thick(first - 1)) --first;
  while (last + 1 < static_cast<int>(wide.size()) && thick(last + 1)) ++last;
  return {first, last};
}

// Where most of these ends lie: corners are round, a badge sticks out.
double most_end(std::vector<int> ends, double share) {
  const std::size_t fifth = ends.size() / 5;
  ends.erase(ends.begin(), ends.begin() + static_cast<std::ptrdiff_t>(fifth));
  ends.resize(ends.size() - fifth);
  const auto k = ends.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(ends.size() - 1));
  std::nth_element(ends.begin(), k, ends.end());
  return *k;
}

struct Part {
  int x0 = 1 << 20, y0 = 1 << 20, x1 = -1, y1 = -1;
  std::vector<std::pair<int, int>> places;
};

std::optional<Plate> plate_of(const Part& part, double width) {
  const int w = part.x1 - part.x0 + 1, h = part.y1 - part.y0 + 1;
  if (w < 0.04 * width || h < 0.04 * width || w > 0.6 * width || h > 0.6 * width) return std::nullopt;
  // Holes are filled: what lies on it may be as light as what it lay on.
  std::vector<int> left(static_cast<std::size_t>(h), w), right(left.size(), -1);
  double my = 0;
  for (const auto& [x, y] : part.places) {
    auto& l = left[static_cast<std::size_t>(y - part.y0)];
    auto& r = right[static_cast<std::size_t>(y - part.y0)];
    l = std::min(l, x - part.x0), r = std::max(r, x - part.x0), my += y - part.y0;
  }
  std::vector<int> wide(left.size());
  for (std::size_t k = 0; k < wide.size(); ++k) wide[k] = right[k] - left[k] + 1;
  const auto [first, last] =
      without_necks(wide, static_cast<int>(my / static_cast<double>(part.places.size())));
  std::vector<int> top(static_cast<std::size_t>(w), h), bottom(top.size(), -1);
  for (const auto& [x, y] : part.places) {
    const int j = y - part.y0;
    if (j < first || j > last) continue;
    auto& t = top[static_cast<std::size_t>(x - part.x0)];
    auto& b = bottom[static_cast<std::size_t>(x - part.x0)];
    t = std::min(t, j), b = std::max(b, j);
  }
  std::vector<int> lefts, rights, tops, bottoms;
  double filled = 0;
  for (int j = first; j <= last; ++j)
    lefts.push_back(left[static_cast<std::size_t>(j)]),
        rights.push_back(right[static_cast<std::size_t>(j)] + 1);
  for (std::size_t i = 0; i < top.size(); ++i)
    if (bottom[i] >= 0) tops.push_back(top[i]), bottoms.push_back(bottom[i] + 1);
  if (lefts.size() < 8 || tops.size() < 8) return std::nullopt;
  const double l = most_end(lefts, 0.25), r = most_end(rights, 0.75), t = most_end(tops, 0.25),
               b = most_end(bottoms, 0.75);
  for (std::size_t k = 0; k < lefts.size(); ++k)
    filled += std::max(0.0, std::min<double>(rights[k], r) - std::max<double>(lefts[k], l));
  Plate plate;
  plate.x = part.x0 + (l + r) / 2, plate.y = part.y0 + (t + b) / 2;
  plate.width = r - l, plate.height = b - t;
  plate.sure = filled / std::max(1.0, plate.width * plate.height);
  if (!plausible(plate, width) || plate.width > 0.35 * width || plate.sure < 0.85 ||
      std::min(plate.width, plate.height) < least_side * width)
    return std::nullopt;
  return plate;
}

std::vector<Plate> plates_in(Mask mask) {
  std::vector<Plate> plates;
  std::vector<std::pair<int, int>> open;
  for (int v = 0; v < mask.height; ++v)
    for (int u = 0; u < mask.width; ++u) {
      if (mask.at(u, v) != 1) continue;
      Part part;
      open.assign(1, {u, v});
      mask.at(u, v) = 2;
      while (!open.empty()) {
        const auto [x, y] = open.back();
        open.pop_back();
        part.places.emplace_back(x, y);
        part.x0 = std::min(part.x0, x), part.x1 = std::max(part.x1, x);
        part.y0 = std::min(part.y0, y), part.y1 = std::max(part.y1, y);
        for (const auto& [i, j] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
          const int nx = x + i, ny = y + j;
          if (nx < 0 || ny < 0 || nx >= mask.width || ny >= mask.height || mask.at(nx, ny) != 1) continue;
          mask.at(nx, ny) = 2;
          open.emplace_back(nx, ny);
        }
      }
      if (part.x0 == 0 || part.y0 == 0 || part.x1 == mask.width - 1 || part.y1 == mask.height - 1) continue;
      if (const auto plate = plate_of(part, mask.width)) plates.push_back(*plate);
    }
  return plates;
}

struct Cluster {
  std::vector<Plate> plates;
  const Plane *before, *last_before;
  int lay = 1;  // pictures before
};

Vacated settled(const Cluster& cluster) {
  const auto middle = [&](double Plate::*of) {
    std::vector<double> v;
    for (const Plate& p : cluster.plates) v.push_back(p.*of);
    return median(v);
  };
  Vacated place{cluster.plates.front(), static_cast<int>(cluster.plates.size()), cluster.before};
  place.plate.x = middle(&Plate::x), place.plate.y = middle(&Plate::y);
  place.plate.width = middle(&Plate::width), place.plate.height = middle(&Plate::height);
  return place;
}

}  // namespace

std::vector<Vacated> vacated(const std::vector<const Plane*>& before,
                             const std::vector<const Plane*>& after) {
  constexpr double same_place = 3, same_size = 6;  // px
  std::vector<Cluster> clusters;
  for (const Plane* a : before)
    for (const Plane* b : after) {
      if (a->width != b->width || a->height != b->height) continue;
      for (const Plate& plate : plates_in(changed(*a, *b))) {
        const auto same = std::find_if(clusters.begin(), clusters.end(), [&](const Cluster& c) {
          const Plate& p = c.plates.front();
          return std::abs(p.x - plate.x) < same_place && std::abs(p.y - plate.y) < same_place &&
                 std::abs(p.width - plate.width) < same_size && std::abs(p.height - plate.height) < same_size;
        });
        if (same == clusters.end())
          clusters.push_back({{plate}, a, a});
        else if (same->plates.push_back(plate); same->last_before != a)
          same->last_before = a, ++same->lay;
      }
    }
  std::vector<Vacated> places;
  for (const Cluster& cluster : clusters)
    if (cluster.lay > 1) places.push_back(settled(cluster));  // what is on its way is seen there but once
  std::sort(places.begin(), places.end(),
            [](const Vacated& a, const Vacated& b) { return a.pairs > b.pairs; });
  return places;
}

namespace {

// What changed within a plate and all that is joined to it becomes 2; how much of it lies outside, px.
int mark_joined(Mask& mask, const Plate& plate) {
  std::vector<std::pair<int, int>> open;
  const double x0 = plate.x - plate.width / 2, x1 = plate.x + plate.width / 2,
               y0 = plate.y - plate.height / 2, y1 = plate.y + plate.height / 2;
  int outside = 0;
  const auto take = [&](int x, int y) {
    if (x < 0 || y < 0 || x >= mask.width || y >= mask.height || mask.at(x, y) != 1) return;
    mask.at(x, y) = 2;
    outside += x < x0 || x >= x1 || y < y0 || y >= y1;
    open.emplace_back(x, y);
  };
  for (int y = static_cast<int>(y0); y < y1; ++y)
    for (int x = static_cast<int>(x0); x < x1; ++x) take(x, y);
  while (!open.empty()) {
    const auto [x, y] = open.back();
    open.pop_back();
    take(x + 1, y), take(x - 1, y), take(x, y + 1), take(x, y - 1);
  }
  return outside;
}

}  // namespace

Touched touched(const Plane& before, const Plane& now, const Plate& plate) {
  constexpr int ways = 32;
  Mask mask = changed(before, now);
  const int outside = mark_joined(mask, plate);
  const auto set_at = [&](double x, double y) {
    return x >= 0 && y >= 0 && x < mask.width && y < mask.height &&
           mask.at(static_cast<int>(x), static_cast<int>(y)) == 2;
  };
  if (outside < plate.width * plate.height / 2) return {};
  Touched found;
  double all = 0, with = 0;
  for (double y = plate.y - plate.height / 2 + 0.5; y < plate.y + plate.height / 2; ++y)
    for (double x = plate.x - plate.width / 2 + 0.5; x < plate.x + plate.width / 2; ++x)
      ++all, with += set_at(x, y);
  found.share = all > 0 ? with / all : 0;
  double n = 0, sx = 0, sy = 0;
  for (int k = 0; k < ways; ++k) {
    const double a = 2 * M_PI * k / ways, x = std::cos(a), y = std::sin(a);
    if (!set_at(plate.x + 0.85 * plate.width * x, plate.y + 0.85 * plate.height * y)) continue;
    ++n, sx += x, sy += y;
  }
  found.around = n / ways;
  found.one_sided = n > 0 ? std::hypot(sx, sy) / n : 1;
  return found;
}

}  // namespace paneproof::video
