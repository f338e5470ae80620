#include "capture/video/outline.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace paneproof::video {

Maps::Maps(const Model& model) : width(model.width()), height(model.height()) {
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      mean.push_back(static_cast<float>(model.mean(x, y)));
      spread.push_back(static_cast<float>(std::min(40.0, model.spread(x, y))));
      seen.push_back(model.count(x, y) >= 3);
    }
  change = spread;
  for (int y = 1; y + 1 < height; ++y)
    for (int x = 1; x + 1 < width; ++x) {
      const std::size_t k = static_cast<std::size_t>(y) * width + x;
      change[k] = std::max(0.0f, spread[k] - 0.35f * std::max(std::abs(mean[k + 1] - mean[k - 1]),
                                                              std::abs(mean[k + width] - mean[k - width])));
    }
  beside.reserve(mean.size());
  const auto four_seen = [&](std::size_t k) {
    return seen[k] && k + width + 1 < seen.size() && seen[k + width + 1];
  };
  for (std::size_t k = 0; k < mean.size(); ++k)
    beside.push_back(Four{mean[k], spread[k], change[k], four_seen(k) ? 1.0F : 0.0F});
  part(model.core());
}

std::pair<double, double> way_out(int k, int parts) {
  constexpr int most = 8;
  static const auto ways = [] {
    std::array<std::array<std::pair<double, double>, most>, most + 1> of{};
    for (int n = 1; n <= most; ++n)
      for (int i = 0; i < n; ++i) {
        const double a = 1.5707963 * (i + 0.5) / n;
        of[static_cast<std::size_t>(n)][static_cast<std::size_t>(i)] = {std::cos(a), std::sin(a)};
      }
    return of;
  }();
  return ways[static_cast<std::size_t>(parts)][static_cast<std::size_t>(k)];
}

void Maps::part(const Box& core) {
  std::vector<float> inside, about;
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      const std::size_t k = static_cast<std::size_t>(y) * width + x;
      if (!seen[k]) continue;
      const double u = std::abs(x + 0.5 - core.x - core.width / 2.0) / (core.width / 2.0),
                   v = std::abs(y + 0.5 - core.y - core.height / 2.0) / (core.height / 2.0);
      if (std::max(u, v) < 0.6) inside.push_back(change[k]);
      if (std::max(u, v) > 1.1) about.push_back(change[k]);
    }
  if (inside.size() < 20 || about.size() < 20) return;
  const auto at_share = [](std::vector<float>& v, double share) {
    const auto k = static_cast<std::ptrdiff_t>(share * static_cast<double>(v.size() - 1));
    std::nth_element(v.begin(), v.begin() + k, v.end());
    return v[static_cast<std::size_t>(k)];
  };
  const float thing = at_share(inside, 0.4);
  const std::size_t all = about.size();
  std::erase_if(about, [&](float s) { return s < thing + 3; });
  if (about.size() * 20 < all) return;  // hardly anything changed
  steady = thing + std::clamp(0.2f * (at_share(about, 0.5) - thing), 2.0f, 6.0f);
}

bool steady_outline(const Maps& maps, const Box& core, Outline& o) {
  if (maps.steady <= 0) return false;
  constexpr int thin = 2;  // what is thinner than twice this and a px does not join
  const int w = maps.width, h = maps.height;
  const auto place = [&](int x, int y) { return static_cast<std::size_t>(y) * w + x; };
  std::vector<int> sum(static_cast<std::size_t>(w + 1) * (h + 1));
  const auto total = [&](int x, int y) -> int& { return sum[static_cast<std::size_t>(y) * (w + 1) + x]; };
  for (int y = 0; y < h; ++y)
    for (int x = 0; x < w; ++x)
      total(x + 1, y + 1) = total(x, y + 1) + total(x + 1, y) - total(x, y) +
                            (maps.seen[place(x, y)] && maps.change[place(x, y)] < maps.steady);
  const auto thick = [&](int x, int y) {
    const int x0 = x - thin, y0 = y - thin, x1 = x + thin + 1, y1 = y + thin + 1;
    return x0 >= 0 && y0 >= 0 && x1 <= w && y1 <= h &&
           total(x1, y1) - total(x0, y1) - total(x1, y0) + total(x0, y0) >= (x1 - x0) * (y1 - y0) - 1;
  };
  const int mx = core.x + core.width / 2, my = core.y + core.height / 2;
  int start = -1, nearest = 1 << 30;
  for (int y = my - core.height / 3; y <= my + core.height / 3; ++y)
    for (int x = mx - core.width / 3; x <= mx + core.width / 3; ++x) {
      const int d = (x - mx) * (x - mx) + (y - my) * (y - my);
      if (d < nearest && thick(x, y)) nearest = d, start = y * w + x;
    }
  if (start < 0) return false;
  std::vector<std::uint8_t> part(static_cast<std::size_t>(w) * h);
  std::vector<int> open{start};
  part[static_cast<std::size_t>(start)] = 1;
  std::vector<int> left(static_cast<std::size_t>(h), w), right(left.size(), -1),
      top(static_cast<std::size_t>(w), h), bottom(top.size(), -1);
  int x0 = w, y0 = h, x1 = -1, y1 = -1;
  while (!open.empty()) {
    const int k = open.back(), x = k % w, y = k / w;
    open.pop_back();
    left[y] = std::min(left[y], x), right[y] = std::max(right[y], x);
    top[x] = std::min(top[x], y), bottom[x] = std::max(bottom[x], y);
    x0 = std::min(x0, x), x1 = std::max(x1, x), y0 = std::min(y0, y), y1 = std::max(y1, y);
    for (const auto& [dx, dy] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}})
      if (thick(x + dx, y + dy) && !part[place(x + dx, y + dy)])
        part[place(x + dx, y + dy)] = 1, open.push_back((y + dy) * w + x + dx);
  }
  if (x0 < thin + 2 || y0 < thin + 2 || x1 > w - thin - 3 || y1 > h - thin - 3) return false;  // runs on
  const auto ends = [](const std::vector<int>& v, int from, int to, double share) {
    std::vector<int> some;
    for (int k = from + (to - from) / 5; k <= to - (to - from) / 5; ++k) some.push_back(v[k]);
    const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(some.size() - 1));
    std::nth_element(some.begin(), some.begin() + at, some.end());
    return some[static_cast<std::size_t>(at)];
  };
  o.left = ends(left, y0, y1, 0.25) - thin, o.right = ends(right, y0, y1, 0.75) + thin + 1;
  o.top = ends(top, x0, x1, 0.25) - thin, o.bottom = ends(bottom, x0, x1, 0.75) + thin + 1;
  return o.right - o.left >= 8 && o.bottom - o.top >= 8;
}

std::vector<double> lines(const Maps& maps, const Box& core, bool upright, bool forth) {
  constexpr std::size_t most = 4;
  const int length = upright ? maps.width : maps.height,
            middle = upright ? core.x + core.width / 2 : core.y + core.height / 2,
            across = upright ? core.y + core.height / 2 : core.x + core.width / 2,
            half = std::max(4, (upright ? core.height : core.width) / 5);
  const auto value = [&](int along, int beside) {
    return at(maps, (upright ? along : beside) + 0.5, (upright ? beside : along) + 0.5);
  };
  std::vector<std::pair<double, int>> strengths;
  for (int a = 3; a + 3 < length; ++a) {
    if (forth ? a < middle + 3 : a > middle - 3) continue;
    double with = 0;
    for (int b = across - half; b <= across + half; ++b) {
      const At in = value(forth ? a - 2 : a + 1, b), out = value(forth ? a + 1 : a - 2, b);
      if (!in.seen || !out.seen) continue;
      const double e = std::abs(out.mean - in.mean) + std::max(0.0f, out.change - in.change);
      with += std::clamp((e - 1) / 4, 0.0, 1.0) + std::min(e, 30.0) / 100;
    }
    strengths.emplace_back(with, a);
  }
  std::sort(strengths.rbegin(), strengths.rend());
  std::vector<double> found;
  for (const auto& [with, a] : strengths) {
    if (found.size() == most || with < 0.3 * (2 * half + 1)) break;
    if (std::all_of(found.begin(), found.end(), [&, a = a](double f) { return std::abs(f - a) > 3; }))
      found.push_back(a);
  }
  return found;
}

void settle(const Maps& maps, Outline& o) {
  if (maps.steady <= 0) return;
  struct Found {
    double off, nx, ny;
  };
  for (int turn = 0; turn < 4; ++turn) {
    std::vector<Found> found;
    const double w = o.right - o.left, h = o.bottom - o.top, r = o.corner * std::min(w, h);
    const double reach = turn == 0 ? 4 : 2.5;
    const auto ask = [&](double x, double y, double nx, double ny) {
      constexpr double step = 0.25;
      const auto spread_at = [&](double d) {
        const At a = at(maps, x + d * nx, y + d * ny);
        return a.seen ? a.spread : -1.0f;
      };
      const float in = std::max(spread_at(-reach - 1), spread_at(-reach)),
                  out = std::min(spread_at(reach), spread_at(reach + 1));
      if (in < 0 || out < in + 3 || in > maps.steady || out < maps.steady) return true;
      const float half = (in + out) / 2;
      float before = spread_at(-reach);
      for (double d = -reach + step; d <= reach; d += step) {
        const float now = spread_at(d);
        if (now >= half && before < half) {
          found.push_back({d - step * (now - half) / (now - before), nx, ny});
          break;
        }
        before = now;
      }
      return true;
    };
    go_round(o, 16, 7, 1, ask);
    // Each side by the middle of what its points say, those facing it most.
    const auto side = [&](double nx, double ny) {
      std::vector<double> offs;
      for (const Found& f : found)
        if (f.nx * nx + f.ny * ny > 0.9) offs.push_back(f.off);
      if (offs.size() < 3) return 0.0;
      std::nth_element(offs.begin(), offs.begin() + static_cast<std::ptrdiff_t>(offs.size() / 2), offs.end());
      return offs[offs.size() / 2];
    };
    const double dl = side(-1, 0), dr = side(1, 0), dt = side(0, -1), db = side(0, 1);
    o.left -= dl, o.right += dr, o.top -= dt, o.bottom += db;
    std::vector<double> corners;  // at the diagonals: what is off there beyond the sides' own
    for (const Found& f : found)
      if (std::abs(f.nx) > 0.5 && std::abs(f.ny) > 0.5)
        corners.push_back(
            (f.off - std::abs(f.nx) * (f.nx < 0 ? dl : dr) - std::abs(f.ny) * (f.ny < 0 ? dt : db)) /
            (1 - std::abs(f.nx) - std::abs(f.ny)));
    if (corners.size() >= 4) {
      std::nth_element(corners.begin(), corners.begin() + static_cast<std::ptrdiff_t>(corners.size() / 2),
                       corners.end());
      const double more = std::clamp(corners[corners.size() / 2], -0.1 * w, 0.1 * w);
      o.corner = std::clamp((r + more) / std::min(o.right - o.left, o.bottom - o.top), 0.0, 0.5);
    }
    if (std::abs(dl) + std::abs(dr) + std::abs(dt) + std::abs(db) < 0.1) break;
  }
}

}  // namespace paneproof::video
