#include "capture/video/plate.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

namespace paneproof::video {
namespace {

// One side, looked at from the middle outwards: mean and spread at px `out` of line `along`.
struct Side {
  std::function<double(int along, int out)> mean, spread;
  int runs = 0;       // px that there are
  int half_band = 2;  // lines about the middle that are asked
};

double across_lines(const Side& side, int out, const std::function<double(int, int)>& what) {
  double sum = 0;
  for (int k = -side.half_band; k <= side.half_band; ++k) sum += what(k, out);
  return sum / (2 * side.half_band + 1);
}

// Share of the lines that have an edge of this sign here or right beside.
double runs_through(const Side& side, int out, double edge) {
  int with = 0;
  for (int k = -side.half_band; k <= side.half_band; ++k) {
    double best = 0;
    for (int o = std::max(0, out - 1); o <= out + 1 && o + 1 < side.runs; ++o) best = std::max(best, (side.mean(k, o + 1) - side.mean(k, o)) * (edge > 0 ? 1 : -1));
    with += best > 0.3 * std::abs(edge);
  }
  return with / (2.0 * side.half_band + 1);
}

double peak(const std::vector<double>& v, int at) {
  if (at <= 0 || at + 1 >= static_cast<int>(v.size())) return at;
  const double a = v[at - 1], b = v[at], c = v[at + 1], bend = a - 2 * b + c;
  return at + (bend < 0 ? std::clamp(0.5 * (a - c) / bend, -0.5, 0.5) : 0);
}

// Where the plate ends: px from the middle's outer border (0 is between px 0 and 1). Negative: not found.
double end_of(const Side& side) {
  const int n = side.runs - 1;
  if (n < 6) return -1;
  std::vector<double> spread(side.runs), edge(n), both(n);
  for (int out = 0; out < side.runs; ++out) spread[out] = across_lines(side, out, side.spread);
  double strongest = 0;
  for (int out = 0; out < n; ++out) {
    edge[out] = across_lines(side, out + 1, side.mean) - across_lines(side, out, side.mean);
    both[out] = std::abs(edge[out]) + std::max(0.0, spread[out + 1] - spread[out]);
    strongest = std::max(strongest, std::abs(edge[out]));
  }
  // What is behind changes: the first px from which on the spread stays high.
  double highest = 0;
  for (const double s : spread) highest = std::max(highest, s);
  const double high = std::max(2.5, 0.22 * highest);
  for (int out = 2; out + 4 < side.runs; ++out) {
    int above = 0, asked = 0;
    for (int o = out; o < side.runs && o < out + 12; ++o) above += spread[o] > high, ++asked;
    if (spread[out] <= high || spread[out + 1] <= high || spread[out + 2] <= high || above < 0.7 * asked) continue;
    int best = std::max(0, out - 3);
    for (int o = best; o <= std::min(n - 1, out + 2); ++o)
      if (both[o] > both[best]) best = o;
    return peak(both, best);
  }
  // Plain ground all the way: the outermost edge that is sharp and runs through.
  for (int out = n - 2; out >= 3; --out) {
    const double here = std::abs(edge[out]);
    if (here < std::max(1.2, 0.1 * strongest) || here < std::abs(edge[out - 1]) || here < std::abs(edge[out + 1])) continue;
    if (out + 3 < n && std::abs(edge[out + 3]) > 0.55 * here) continue;
    if (runs_through(side, out, edge[out]) < 0.75) continue;
    std::vector<double> size(n);
    for (int o = 0; o < n; ++o) size[o] = std::abs(edge[o]);
    return peak(size, out);
  }
  return -1;
}

}  // namespace

Plate find_plate(const Model& model) {
  const int w = model.width(), h = model.height();
  // The middle of the steady and telling pixels.
  const auto [fx, fy] = model.middle();
  Plate plate;
  double cx = fx, cy = fy, left = 0, right = 0, top = 0, bottom = 0;
  for (int turn = 0; turn < 3; ++turn) {
    const int mx = static_cast<int>(cx), my = static_cast<int>(cy);
    if (mx < 4 || my < 4 || mx + 5 > w || my + 5 > h) return {};
    const int band_y = std::max(2, static_cast<int>(turn ? (top + bottom) * 0.13 : w * 0.02));
    const int band_x = std::max(2, static_cast<int>(turn ? (left + right) * 0.13 : w * 0.02));
    const auto along = [&](int sx, int sy, bool spread) {
      return [=, &model](int k, int out) {
        const int x = std::clamp(mx + sx * out + (sy ? k : 0), 0, w - 1), y = std::clamp(my + sy * out + (sx ? k : 0), 0, h - 1);
        return spread ? model.spread(x, y) : model.mean(x, y);
      };
    };
    right = end_of({along(1, 0, false), along(1, 0, true), w - mx, band_y});
    left = end_of({along(-1, 0, false), along(-1, 0, true), mx + 1, band_y});
    bottom = end_of({along(0, 1, false), along(0, 1, true), h - my, band_x});
    top = end_of({along(0, -1, false), along(0, -1, true), my + 1, band_x});
    if (left < 0 || right < 0 || top < 0 || bottom < 0) return {};
    // px m spans [m, m + 1): the right end is at m + 1 + right, the left one at m - left.
    cx = mx + 0.5 + (right - left) / 2, cy = my + 0.5 + (bottom - top) / 2;
    plate = {cx - model.origin_x(), cy - model.origin_y(), right + left + 1, top + bottom + 1};
  }
  return plate;
}

}  // namespace paneproof::video
