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
  std::vector<std::uint8_t> seen;
  explicit Maps(const Model& model) : width(model.width()), height(model.height()) {
    for (int y = 0; y < height; ++y)
      for (int x = 0; x < width; ++x) {
        mean.push_back(static_cast<float>(model.mean(x, y)));
        spread.push_back(static_cast<float>(std::min(40.0, model.spread(x, y))));
        seen.push_back(model.count(x, y) >= 3);
      }
  }
};

struct Outline {
  double left, top, right, bottom;  // px from the model's top left
  double corner;                    // radius over the shorter side
};

struct At {
  float mean = 0, spread = 0;
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
  return {mix(maps.mean), mix(maps.spread), maps.seen[k] && maps.seen[below + 1]};
}

// How well a closed line separates one thing from what is about it: 0 to about 1. Most of the line must lie
// on an edge, in look or in steadiness; how strong the edge is counts less, so that a drawing on the plate
// with strong edges does not win over the plate's own faint ones.
double separates(const Maps& maps, const Outline& o, double half) {
  const double w = o.right - o.left, h = o.bottom - o.top, r = o.corner * std::min(w, h),
               cx = (o.left + o.right) / 2, cy = (o.top + o.bottom) / 2;
  double with = 0, strength = 0, asked = 0, total = 0;
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

}  // namespace

Plate find_plate(const Model& model, bool thoroughly) {
  const Maps maps(model);
  const Box core = model.core();
  const double size = std::sqrt(static_cast<double>(core.width) * core.height);
  struct Start {
    Outline outline;
    double value;
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
  for (Start& start : starts) start.value = climb(maps, start.outline, size, 3);
  std::sort(starts.begin(), starts.end(), better);
  std::vector<Start> finished;
  const auto finish = [&](Start start) {
    start.value = climb_finely(maps, start.outline, size);
    finished.push_back(start);
  };
  finish(starts[0]);
  finish(starts[1]);
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
  // Of the lines that separate about as well, the outermost: what is drawn on a plate lies within it.
  double most = 0;
  for (const Start& f : finished) most = std::max(most, f.value);
  if (most < 0.45) return {};
  const Start* chosen = nullptr;
  const auto area = [](const Outline& o) { return (o.right - o.left) * (o.bottom - o.top); };
  for (const Start& f : finished)
    if (f.value > 0.95 * most &&
        (!chosen || area(f.outline) > 1.02 * area(chosen->outline) ||
         (area(f.outline) > 0.98 * area(chosen->outline) && f.value > chosen->value)))
      chosen = &f;
  const Outline& o = chosen->outline;
  return {(o.left + o.right) / 2 - model.origin_x(),
          (o.top + o.bottom) / 2 - model.origin_y(),
          o.right - o.left,
          o.bottom - o.top,
          o.corner,
          chosen->value};
}

bool plausible(const Plate& plate, double width) {
  return plate.width > 0.04 * width && plate.height > 0.04 * width && plate.width < 0.6 * width &&
         plate.height < 0.6 * width && plate.width < 2.5 * plate.height && plate.height < 2.5 * plate.width;
}

}  // namespace paneproof::video
