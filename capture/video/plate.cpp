#include "capture/video/plate.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "capture/video/outline.hpp"

namespace paneproof::video {
namespace {

// How well a closed line separates one thing from what is about it: 0 to about 1. Most of the line must lie
// on an edge, in look or in steadiness; how strong the edge is counts less, so that a drawing on the plate
// with strong edges does not win over the plate's own faint ones.
// Given up, and 0, once it is plain that it comes to no more than `least`.
double separates(const Maps& maps, const Outline& o, double half, double least, double* proved = nullptr) {
  const double r = o.corner * std::min(o.right - o.left, o.bottom - o.top);
  constexpr int along = 12;
  constexpr double least_side = 0.5;
  const int arc = r > 2 ? 7 : 2;
  const double total = places_round(o, along, arc, least_side), share = 1 / total;
  double with = 0, strength = 0, asked = 0, left = total, goes_on = 0;
  bool hopeless = false;
  const auto ask = [&](double x, double y, double nx, double ny) {
    --left;
    const At in = at(maps, x - half * nx, y - half * ny), out = at(maps, x + half * nx, y + half * ny);
    if (!in.seen || !out.seen) {
      hopeless = asked + left < 0.7 * total;  // what was never seen does not count for it
      return !hopeless;
    }
    const At deep = at(maps, x - 3 * nx, y - 3 * ny);
    ++asked;
    // What lies inside is steady.
    const double e = std::abs(out.mean - in.mean) + std::max(0.0f, out.spread - in.spread) -
                     std::max(0.0f, deep.spread - 4);
    strength += std::clamp(e, 0.0, 25.0) / 25;
    with += std::clamp((e - 1) / 3, 0.0, 1.0);
    const double most = (with + left) * share, strongest = (strength + left) * share;
    hopeless = most * most + 0.35 * strongest < least;
    if (hopeless || !proved) return !hopeless;
    // As steady further out as the thing is: the line runs within it.
    const At far = at(maps, x + 3.5 * nx, y + 3.5 * ny), farther = at(maps, x + 6 * nx, y + 6 * ny);
    goes_on += far.seen && farther.seen && std::max(far.change, farther.change) < maps.steady;
    return true;
  };
  go_round(o, along, arc, least_side, ask);
  if (hopeless || asked < 0.7 * total) return 0;
  with /= total, strength /= total;
  if (proved) *proved = maps.steady > 0 ? 1 - goes_on / total : 0;
  return with * with + 0.35 * strength;
}

// 0 where it is no more than `least`.
double value_of(const Maps& maps, const Outline& o, double half, double size_before, double least = 0) {
  const double w = o.right - o.left, h = o.bottom - o.top;
  if (w < 8 || h < 8) return 0.0;
  const double by = std::sqrt(std::sqrt(std::min(1.6, std::sqrt(w * h) / size_before)));
  return separates(maps, o, half, 0.999 * least / by) * by;
}

// Where a climb has been: left, right, top and bottom in steps from its start, and the corner in thousandths.
using Steps = std::array<int, 5>;

// Moves sides, all of it, its size and its corners by `step` px as long as that betters it. What was asked
// once was no better than what was best then, and is not asked again.
double climb(const Maps& maps, Outline& o, double size_before, double step) {
  constexpr std::array<Steps, 8> ways{{{1, 0, 0, 0, 0},
                                       {0, 1, 0, 0, 0},
                                       {0, 0, 1, 0, 0},
                                       {0, 0, 0, 1, 0},
                                       {1, 1, 0, 0, 0},
                                       {0, 0, 1, 1, 0},
                                       {1, -1, 1, -1, 0},
                                       {0, 0, 0, 0, 1}}};
  const double half = step > 2 ? 1.8 : step > 0.7 ? 1.2 : 0.8;
  double best = value_of(maps, o, half, size_before);
  Steps at{0, 0, 0, 0, static_cast<int>(std::lround(1000 * o.corner))};
  std::vector<Steps> asked{at};
  for (int turn = 0; turn < 14; ++turn) {
    Outline next = o;
    Steps next_at = at;
    double most = best;
    for (const Steps& way : ways)
      for (const int d : {-1, 1}) {
        Outline a = o;
        a.left += d * way[0] * step, a.right += d * way[1] * step;
        a.top += d * way[2] * step, a.bottom += d * way[3] * step;
        if (way[4] != 0) a.corner = std::clamp(o.corner + d * 0.05, 0.0, 0.5);
        Steps to = at;
        for (std::size_t k = 0; k < 4; ++k) to[k] += d * way[k];
        to[4] = static_cast<int>(std::lround(1000 * a.corner));
        if (std::find(asked.begin(), asked.end(), to) != asked.end()) continue;
        asked.push_back(to);
        const double v = value_of(maps, a, half, size_before, most);
        if (v > most + 1e-9) most = v, next = a, next_at = to;
      }
    if (most <= best + 1e-9) break;
    best = most, o = next, at = next_at;
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
  const double longest = core.width > 2.5 * core.height ? 1e9 : 2.5;  // a row's
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
  const std::size_t most_crossed = thoroughly ? 5 : 3;
  std::vector<Start> crossed;  // the best of them
  const std::vector<double> left = lines(maps, core, true, false), right = lines(maps, core, true, true),
                            top = lines(maps, core, false, false), bottom = lines(maps, core, false, true);
  for (const double l : left)
    for (const double r : right)
      for (const double t : top)
        for (const double b : bottom) {
          const Outline o{l, t, r, b, 0.2};
          if (r - l > longest * (b - t) || b - t > 2.5 * (r - l)) continue;
          const double least = crossed.size() < most_crossed ? 0 : crossed.back().value;
          crossed.push_back({o, value_of(maps, o, 1.8, size, least)});
          std::sort(crossed.begin(), crossed.end(), better);
          if (crossed.size() > most_crossed) crossed.pop_back();
        }
  starts.insert(starts.end(), crossed.begin(), crossed.end());
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
    separates(maps, f.outline, 0.8, 0, &proof);
    proofs.push_back(proof);
    if (f.value > 0.75 * most) most_proved = std::max(most_proved, proof);
  }
  const auto area = [](const Outline& o) { return (o.right - o.left) * (o.bottom - o.top); };
  const Start* chosen = nullptr;
  double proved = 0, best = 0;
  for (std::size_t k = 0; k < finished.size(); ++k) {
    const Start& f = finished[k];
    if (f.value < (most_proved > 0.5 ? 0.75 : 0.85) * most) continue;
    const double merit =
        most_proved > 0.5 ? f.value * proofs[k] : std::sqrt(area(f.outline)) * (0.2 + f.value);
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

bool is_row(const Plate& plate, double width) {
  return plate.width >= 0.6 * width && plate.width < 1.1 * width && plate.height > 0.04 * width &&
         plate.height < 0.4 * width;
}

bool plausible(const Plate& plate, double width) {
  if (is_row(plate, width)) return true;
  return plate.width > 0.04 * width && plate.height > 0.04 * width && plate.width < 0.6 * width &&
         plate.height < 0.6 * width && plate.width < 2.5 * plate.height && plate.height < 2.5 * plate.width;
}

bool unsure(const Plate& plate) { return plate.sure < 0.92 && plate.proved < 0.9; }

bool tells_better(const Plate& lying, const Plate& learnt) {
  const double off = std::hypot(lying.x - learnt.x, lying.y - learnt.y);
  const bool near = off < 0.05 * (learnt.width + learnt.height);
  return learnt.proved < 0.5 || (off > 1 && near && lying.sure > learnt.sure + 0.08);
}

}  // namespace paneproof::video
