#include "capture/video/plate.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace paneproof::video {
namespace {

// Mean and spread of the model, looked up often.
struct Maps {
  int width, height;
  std::vector<float> mean, spread;
  std::vector<float> change;  // spread beyond what a third of a px of unrest makes at the edges of a drawing
  std::vector<std::uint8_t> seen;
  // What has less spread than this is the thing, where its surroundings changed at all; 0 where they did not.
  float steady = 0;
  explicit Maps(const Model& model) : width(model.width()), height(model.height()) {
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
    part(model.core());
  }

 private:
  void part(const Box& core) {
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
};

struct Outline {
  double left, top, right, bottom;  // px from the model's top left
  double corner;                    // radius over the shorter side
};

struct At {
  float mean = 0, spread = 0, change = 0;
  bool seen = false;
};

At at(const Maps& maps, double x, double y) {
  x -= 0.5, y -= 0.5;
  if (!(x >= 0 && y >= 0 && x < maps.width - 1 && y < maps.height - 1)) return {};
  const int i = static_cast<int>(x), j = static_cast<int>(y);
  const float a = static_cast<float>(x - i), b = static_cast<float>(y - j);
  const std::size_t k = static_cast<std::size_t>(j) * maps.width + i, below = k + maps.width;
  const auto mix = [&](const std::vector<float>& m) {
    return (1 - b) * ((1 - a) * m[k] + a * m[k + 1]) + b * ((1 - a) * m[below] + a * m[below + 1]);
  };
  return {mix(maps.mean), mix(maps.spread), mix(maps.change), maps.seen[k] && maps.seen[below + 1]};
}

// How well a closed line separates one thing from what is about it: 0 to about 1. Most of the line must lie
// on an edge, in look or in steadiness; how strong the edge is counts less, so that a drawing on the plate
// with strong edges does not win over the plate's own faint ones.
double separates(const Maps& maps, const Outline& o, double half, double* proved = nullptr) {
  const double w = o.right - o.left, h = o.bottom - o.top, r = o.corner * std::min(w, h),
               cx = (o.left + o.right) / 2, cy = (o.top + o.bottom) / 2;
  double with = 0, strength = 0, asked = 0, total = 0, goes_on = 0;
  const auto ask = [&](double x, double y, double nx, double ny) {
    ++total;
    const At in = at(maps, x - half * nx, y - half * ny), out = at(maps, x + half * nx, y + half * ny),
             deep = at(maps, x - 3 * nx, y - 3 * ny);
    if (!in.seen || !out.seen) return;
    ++asked;
    // What lies inside is steady.
    const double e = std::abs(out.mean - in.mean) + std::max(0.0f, out.spread - in.spread) -
                     std::max(0.0f, deep.spread - 4);
    strength += std::clamp(e, 0.0, 25.0) / 25;
    with += std::clamp((e - 1) / 3, 0.0, 1.0);
    // As steady further out as the thing is: the line runs within it.
    const At far = at(maps, x + 3.5 * nx, y + 3.5 * ny), farther = at(maps, x + 6 * nx, y + 6 * ny);
    goes_on += far.seen && farther.seen && std::max(far.change, farther.change) < maps.steady;
  };
  const double sx = w / 2 - r, sy = h / 2 - r;
  constexpr int along = 12, round = 7;
  for (int k = 0; k < along; ++k) {
    const double f = (2.0 * k + 1) / along - 1;
    if (sx > 0.5) ask(cx + f * sx, o.top, 0, -1), ask(cx + f * sx, o.bottom, 0, 1);
    if (sy > 0.5) ask(o.left, cy + f * sy, -1, 0), ask(o.right, cy + f * sy, 1, 0);
  }
  const int arc = r > 2 ? round : 2;
  for (int k = 0; k < arc; ++k) {
    const double a = 1.5707963 * (k + 0.5) / arc, c = std::cos(a), s = std::sin(a);
    for (const int i : {-1, 1})
      for (const int j : {-1, 1}) ask(cx + i * (sx + r * c), cy + j * (sy + r * s), i * c, j * s);
  }
  if (asked < 0.7 * total) return 0;
  with /= total, strength /= total;  // what was never seen does not count for it
  if (proved) *proved = maps.steady > 0 ? 1 - goes_on / total : 0;
  return with * with + 0.35 * strength;
}

double value_of(const Maps& maps, const Outline& o, double half, double size_before) {
  const double w = o.right - o.left, h = o.bottom - o.top;
  if (w < 8 || h < 8) return 0.0;
  return separates(maps, o, half) * std::sqrt(std::sqrt(std::min(1.6, std::sqrt(w * h) / size_before)));
}

// Moves sides, all of it, its size and its corners by `step` px as long as that betters it.
double climb(const Maps& maps, Outline& o, double size_before, double step) {
  const double half = step > 2 ? 1.8 : step > 0.7 ? 1.2 : 0.8;
  double best = value_of(maps, o, half, size_before);
  for (int turn = 0; turn < 14; ++turn) {
    Outline next = o;
    double most = best;
    for (int k = 0; k < 8; ++k)
      for (const double d : {-step, step}) {
        Outline a = o;
        if (k == 0 || k == 4 || k == 6) a.left += d;
        if (k == 1 || k == 4) a.right += d;
        if (k == 2 || k == 5 || k == 6) a.top += d;
        if (k == 3 || k == 5) a.bottom += d;
        if (k == 6) a.right -= d, a.bottom -= d;
        if (k == 7) a.corner = std::clamp(o.corner + (d > 0 ? 0.05 : -0.05), 0.0, 0.5);
        const double v = value_of(maps, a, half, size_before);
        if (v > most + 1e-9) most = v, next = a;
      }
    if (most <= best + 1e-9) break;
    best = most, o = next;
  }
  return best;
}

double climb_finely(const Maps& maps, Outline& o, double size_before) {
  double best = 0;
  for (const double step : {1.0, 0.4, 0.12}) best = climb(maps, o, size_before, step);
  return best;
}

// The outline of the steady part about the middle of the core, where its surroundings changed. A badge or a
// label that touches it hardly counts: each side lies where most of the rows or columns end.
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
  std::vector<int> left(static_cast<std::size_t>(h), w), right(left.size(), -1), top(static_cast<std::size_t>(w), h),
      bottom(top.size(), -1);
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

// Where lines across the way outward from the middle of the core lie, to be tried as sides: the strongest few
// in one direction, px from the model's left or top.
std::vector<double> lines(const Maps& maps, const Box& core, bool upright, bool forth) {
  constexpr std::size_t most = 5;
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

// Puts each side where, along the line, spread rises half way from the thing's to its surroundings', to a
// fraction of a px. Sides along which it does not rise stay.
void settle(const Maps& maps, Outline& o) {
  if (maps.steady <= 0) return;
  struct Found {
    double off, nx, ny;
  };
  for (int turn = 0; turn < 4; ++turn) {
    std::vector<Found> found;
    const double w = o.right - o.left, h = o.bottom - o.top, r = o.corner * std::min(w, h),
                 cx = (o.left + o.right) / 2, cy = (o.top + o.bottom) / 2;
    const double reach = turn == 0 ? 4 : 2.5;
    const auto ask = [&](double x, double y, double nx, double ny) {
      constexpr double step = 0.25;
      const auto spread_at = [&](double d) {
        const At a = at(maps, x + d * nx, y + d * ny);
        return a.seen ? a.spread : -1.0f;
      };
      const float in = std::max(spread_at(-reach - 1), spread_at(-reach)),
                  out = std::min(spread_at(reach), spread_at(reach + 1));
      if (in < 0 || out < in + 3 || in > maps.steady || out < maps.steady) return;
      const float half = (in + out) / 2;
      float before = spread_at(-reach);
      for (double d = -reach + step; d <= reach; d += step) {
        const float now = spread_at(d);
        if (now >= half && before < half) {
          found.push_back({d - step * (now - half) / (now - before), nx, ny});
          return;
        }
        before = now;
      }
    };
    const double sx = w / 2 - r, sy = h / 2 - r;
    constexpr int along = 16, arc = 7;
    for (int k = 0; k < along; ++k) {
      const double f = (2.0 * k + 1) / along - 1;
      if (sx > 1) ask(cx + f * sx, o.top, 0, -1), ask(cx + f * sx, o.bottom, 0, 1);
      if (sy > 1) ask(o.left, cy + f * sy, -1, 0), ask(o.right, cy + f * sy, 1, 0);
    }
    for (int k = 0; k < arc; ++k) {
      const double a = 1.5707963 * (k + 0.5) / arc, c = std::cos(a), s = std::sin(a);
      for (const int i : {-1, 1})
        for (const int j : {-1, 1}) ask(cx + i * (sx + r * c), cy + j * (sy + r * s), i * c, j * s);
    }
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
        corners.push_back((f.off - std::abs(f.nx) * (f.nx < 0 ? dl : dr) - std::abs(f.ny) * (f.ny < 0 ? dt : db)) /
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

}  // namespace

Plate find_plate(const Model& model, bool thoroughly) {
  const Maps maps(model);
  const Box core = model.core();
  const double size = std::sqrt(static_cast<double>(core.width) * core.height);
  struct Start {
    Outline outline;
    double value;
    bool steady = false;  // from what is steady, not from where it was first seen
  };
  std::vector<Start> starts;
  for (const double inset : {0.0, 0.1, 0.2, 0.3})
    for (const double corner : {0.08, 0.25, 0.5}) {
      Outline o{core.x + inset * core.width, core.y + inset * core.height, core.x + (1 - inset) * core.width,
                core.y + (1 - inset) * core.height, corner};
      starts.push_back({o, value_of(maps, o, 1.8, size)});
    }
  const auto better = [](const Start& a, const Start& b) { return a.value > b.value; };
  std::sort(starts.begin(), starts.end(), better);
  starts.resize(thoroughly ? 6 : 4);
  // Sides from all pairs of lines about the core: what was first seen may be a drawing on a larger plate.
  std::vector<Start> crossed;
  const std::vector<double> left = lines(maps, core, true, false), right = lines(maps, core, true, true),
                            top = lines(maps, core, false, false), bottom = lines(maps, core, false, true);
  for (const double l : left)
    for (const double r : right)
      for (const double t : top)
        for (const double b : bottom) {
          const Outline o{l, t, r, b, 0.2};
          if (r - l > 2.5 * (b - t) || b - t > 2.5 * (r - l)) continue;
          crossed.push_back({o, value_of(maps, o, 1.8, size)});
        }
  std::sort(crossed.begin(), crossed.end(), better);
  for (std::size_t k = 0; k < std::min<std::size_t>(crossed.size(), thoroughly ? 5 : 3); ++k)
    starts.push_back(crossed[k]);
  if (Outline o{}; steady_outline(maps, core, o))
    for (const double corner : {0.08, 0.25, 0.5}) {
      o.corner = corner;
      starts.push_back({o, 0, true});
    }
  for (Start& start : starts) start.value = climb(maps, start.outline, size, 3);
  std::sort(starts.begin(), starts.end(), better);
  std::vector<Start> finished;
  const auto finish = [&](Start start) {
    start.value = climb_finely(maps, start.outline, size);
    finished.push_back(start);
  };
  finish(starts[0]);
  finish(starts[1]);
  const auto differs = [&](const Outline& o) {
    return std::all_of(finished.begin(), finished.end(), [&](const Start& f) {
      return std::abs(f.outline.left - o.left) + std::abs(f.outline.right - o.right) +
                 std::abs(f.outline.top - o.top) + std::abs(f.outline.bottom - o.bottom) >
             6;
    });
  };
  for (std::size_t k = 2; k < starts.size() && finished.size() < 5; ++k)
    if (starts[k].value > 0.7 * starts[0].value && differs(starts[k].outline)) finish(starts[k]);
  for (std::size_t k = 2; k < starts.size(); ++k)
    if (starts[k].steady) {
      finish(starts[k]);
      break;
    }
  // The line may have stopped at something drawn on the plate, or at what moved along for a while: push each
  // side, and all of them, and climb again.
  const Outline stopped = finished[finished[1].value > finished[0].value].outline;
  const double best_yet = std::max(finished[0].value, finished[1].value);
  const double w = stopped.right - stopped.left, h = stopped.bottom - stopped.top;
  for (int side = 0; thoroughly && side < 5; ++side) {
    Start pushed{{}, 0};
    for (const double push : {0.1, 0.22, 0.4, 0.7, -0.12, -0.24}) {
      if (side == 4 && push < 0) continue;
      Outline o = stopped;
      if (side == 0 || side == 4) o.left -= push * w;
      if (side == 1 || side == 4) o.top -= push * h;
      if (side == 2 || side == 4) o.right += push * w;
      if (side == 3 || side == 4) o.bottom += push * h;
      const double value = climb(maps, o, size, 3);
      if (value > pushed.value) pushed = {o, value};
    }
    if (pushed.value > 0.75 * best_yet) finish(pushed);
  }
  // Of the lines that separate about as well: the one outside which things changed all along, for they did
  // not move with it. Where nothing is proved so, the outermost: what is drawn on a plate lies within it.
  double most = 0, most_proved = 0;
  for (const Start& f : finished) most = std::max(most, f.value);
  if (most < 0.45) return {};
  std::vector<double> proofs;
  for (const Start& f : finished) {
    double proof = 0;
    separates(maps, f.outline, 0.8, &proof);
    proofs.push_back(proof);
    if (f.value > 0.75 * most) most_proved = std::max(most_proved, proof);
  }
  const auto area = [](const Outline& o) { return (o.right - o.left) * (o.bottom - o.top); };
  const Start* chosen = nullptr;
  double proved = 0, best = 0;
  for (std::size_t k = 0; k < finished.size(); ++k) {
    const Start& f = finished[k];
    if (f.value < (most_proved > 0.5 ? 0.75 : 0.85) * most) continue;
    const double merit = most_proved > 0.5 ? f.value * proofs[k] : std::sqrt(area(f.outline)) * (0.2 + f.value);
    if (merit > best) best = merit, chosen = &f, proved = proofs[k];
  }
  Outline o = chosen->outline;
  settle(maps, o);
  return {(o.left + o.right) / 2 - model.origin_x(),
          (o.top + o.bottom) / 2 - model.origin_y(),
          o.right - o.left,
          o.bottom - o.top,
          o.corner,
          chosen->value,
          proved};
}

bool plausible(const Plate& plate, double width) {
  return plate.width > 0.04 * width && plate.height > 0.04 * width && plate.width < 0.6 * width &&
         plate.height < 0.6 * width && plate.width < 2.5 * plate.height && plate.height < 2.5 * plate.width;
}

}  // namespace paneproof::video
