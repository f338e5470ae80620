// What plate.cpp asks of a model: its mean, its spread and where its surroundings changed, and outlines to
// start from. An outline lies in px from the model's top left.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>
#include <vector>

#include "capture/video/model.hpp"

namespace paneproof::video {

// Mean and spread of the model, looked up often.
struct Maps {
  int width, height;
  std::vector<float> mean, spread;
  std::vector<float> change;  // spread beyond what a third of a px of unrest makes at the edges of a drawing
  std::vector<std::uint8_t> seen;
  std::vector<Four> beside;  // mean, spread and change side by side, and whether it and the one below it to
                             // the right were seen
  // What has less spread than this is the thing, where its surroundings changed at all; 0 where they did not.
  float steady = 0;
  explicit Maps(const Model& model);

 private:
  void part(const Box& core);
};

struct Outline {
  double left, top, right, bottom;  // px from the model's top left
  double corner;                    // radius over the shorter side
};

// Cosine and sine of the middle of the kth of so many parts of a quarter turn.
std::pair<double, double> way_out(int k, int parts);

// How many places go_round asks.
inline int places_round(const Outline& o, int along, int arc, double least_side) {
  const double w = o.right - o.left, h = o.bottom - o.top, r = o.corner * std::min(w, h);
  return along * 2 * ((w / 2 - r > least_side) + (h / 2 - r > least_side)) + 4 * arc;
}

// Calls ask(x, y, nx, ny) at places all round an outline, with the way outward: so many along each side that
// is long enough, so many on each corner's arc; until it answers false.
template <class Ask>
void go_round(const Outline& o, int along, int arc, double least_side, Ask ask) {
  const double w = o.right - o.left, h = o.bottom - o.top, r = o.corner * std::min(w, h);
  const double cx = (o.left + o.right) / 2, cy = (o.top + o.bottom) / 2, sx = w / 2 - r, sy = h / 2 - r;
  for (int k = 0; k < along; ++k) {
    const double f = (2.0 * k + 1) / along - 1;
    if (sx > least_side && !(ask(cx + f * sx, o.top, 0, -1) && ask(cx + f * sx, o.bottom, 0, 1))) return;
    if (sy > least_side && !(ask(o.left, cy + f * sy, -1, 0) && ask(o.right, cy + f * sy, 1, 0))) return;
  }
  for (int k = 0; k < arc; ++k) {
    const auto [c, s] = way_out(k, arc);
    for (const int i : {-1, 1})
      for (const int j : {-1, 1})
        if (!ask(cx + i * (sx + r * c), cy + j * (sy + r * s), i * c, j * s)) return;
  }
}

struct At {
  float mean = 0, spread = 0, change = 0;
  bool seen = false;
};

// Between pixel centres; not seen outside.
inline At at(const Maps& maps, double x, double y) {
  x -= 0.5, y -= 0.5;
  if (!(x >= 0 && y >= 0 && x < maps.width - 1 && y < maps.height - 1)) return {};
  const int i = static_cast<int>(x), j = static_cast<int>(y);
  const float a = static_cast<float>(x - i), b = static_cast<float>(y - j);
  const std::size_t k = static_cast<std::size_t>(j) * maps.width + i;
  const Four *p = maps.beside.data() + k, *q = p + maps.width;
  const Four mixed = (1 - b) * ((1 - a) * p[0] + a * p[1]) + b * ((1 - a) * q[0] + a * q[1]);
  return {mixed[0], mixed[1], mixed[2], p[0][3] != 0};
}

// The outline of the steady part about the middle of the core, where its surroundings changed. A badge or a
// label that touches it hardly counts: each side lies where most of the rows or columns end.
bool steady_outline(const Maps& maps, const Box& core, Outline& o);

// Where lines across the way outward from the middle of the core lie, to be tried as sides: the strongest few
// in one direction, px from the model's left or top.
std::vector<double> lines(const Maps& maps, const Box& core, bool upright, bool forth);

// Puts each side where, along the line, spread rises half way from the thing's to its surroundings', to a
// fraction of a px. Sides along which it does not rise stay.
void settle(const Maps& maps, Outline& o);

}  // namespace paneproof::video
