#include "capture/rehearse/faults.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr double two_pi = 6.283185307179586;

// 0 inside, 1 outside a border that is `soft` mm wide on each side: nodes cut by it keep a part.
double beyond(double distance_mm, double soft) {
  return std::clamp((distance_mm + soft) / (2 * soft), 0.0, 1.0);
}

}  // namespace

FaultSpec random_fault(FaultKind kind, double width, double height, Random& random) {
  FaultSpec f;
  f.kind = kind;
  f.along_x = random.chance(0.5);
  f.lines = random.chance(0.55) ? 1 : random.chance(0.7) ? 2 : 3;
  f.place = random.uniform(0.05, 0.95);
  f.crack = random.uniform(0.2, 0.75) * (random.chance(0.5) ? 1 : -1);
  f.centre = {random.uniform(0.08, 0.92) * width, random.uniform(0.08, 0.92) * height};
  f.strength = random.chance(0.7) ? 0 : random.uniform(0, 0.1);
  f.side = random.below(4);
  switch (kind) {
    case FaultKind::dead_area:
      f.size_mm = random.uniform(9, 26);
      break;
    case FaultKind::weak_line:
      f.per_minute = random.uniform(20, 90);
      f.lasting_s = random.uniform(0.3, 1.5);
      f.lines = random.chance(0.7) ? 1 : 2;
      break;
    case FaultKind::edge_band:
      f.size_mm = random.uniform(5, 15);
      break;
    case FaultKind::bursts:
      f.per_minute = random.uniform(5, 40);
      f.lasting_s = random.uniform(0.03, 0.3);
      break;
    case FaultKind::supply_noise:
      f.strength = random.uniform(0.05, 0.22);
      break;
    case FaultKind::ghosts:
      f.per_minute = random.uniform(8, 60);
      f.lasting_s = random.uniform(0.02, 0.25);
      break;
    case FaultKind::offset:
      f.size_mm = random.uniform(2.5, 8);
      f.turn = random.uniform(0, two_pi);
      break;
    case FaultKind::stretch:
      f.strength = random.uniform(0.04, 0.12) * (random.chance(0.5) ? 1 : -1);
      break;
    default:
      break;
  }
  return f;
}

Faults::Faults(std::vector<FaultSpec> specs, const NodeGrid& grid, double duration_s, Random random)
    : specs_(std::move(specs)), grid_(grid), random_(random), episodes_(specs_.size()) {
  for (int k = 0; k < static_cast<int>(specs_.size()); ++k) {
    switch (specs_[k].kind) {
      case FaultKind::dead_line:
      case FaultKind::partial_line:
        add_lines(k);
        break;
      case FaultKind::weak_line:
        add_lines(k);
        add_episodes(k, duration_s);
        break;
      case FaultKind::dead_area:
        add_area(k);
        break;
      case FaultKind::edge_band:
        add_band(k);
        break;
      case FaultKind::bursts:
      case FaultKind::ghosts:
        add_episodes(k, duration_s);
        break;
      default:
        break;
    }
  }
}

void Faults::add_lines(int fault) {
  const FaultSpec& spec = specs_[fault];
  const int across = spec.along_x ? grid_.rows : grid_.columns,
            along = spec.along_x ? grid_.columns : grid_.rows;
  const int first = std::clamp(static_cast<int>(spec.place * across), 0, std::max(0, across - spec.lines));
  int from = 0, to = along;
  if (spec.kind == FaultKind::partial_line) {
    if (spec.crack >= 0)
      from = std::min(along - 1, static_cast<int>(spec.crack * along + 0.5));
    else
      to = std::max(1, static_cast<int>(-spec.crack * along + 0.5));
  }
  Patch patch{fault, {}, {}, true};
  for (int line = first; line < std::min(first + spec.lines, across); ++line)
    for (int k = from; k < to; ++k) {
      patch.nodes.push_back(
          static_cast<std::uint32_t>(spec.along_x ? grid_.index(k, line) : grid_.index(line, k)));
      patch.gains.push_back(static_cast<float>(spec.strength));
    }
  patches_.push_back(std::move(patch));
  DeadPlace place{spec.kind, spec.along_x, 0, 0, 0, 0, spec.kind != FaultKind::weak_line, false};
  const auto edge = [&](int line, double inset, double pitch, int count, double size) {
    return line <= 0 ? 0.0 : line >= count ? size : inset + (line - 0.5) * pitch;
  };
  const double px = grid_.pitch_x, py = grid_.pitch_y, w = grid_.width_mm, h = grid_.height_mm;
  const int c0 = spec.along_x ? from : first, c1 = spec.along_x ? to : first + spec.lines;
  const int r0 = spec.along_x ? first : from, r1 = spec.along_x ? first + spec.lines : to;
  place.x_mm = edge(c0, grid_.inset_x, px, grid_.columns, w);
  place.y_mm = edge(r0, grid_.inset_y, py, grid_.rows, h);
  place.width_mm = edge(c1, grid_.inset_x, px, grid_.columns, w) - place.x_mm;
  place.height_mm = edge(r1, grid_.inset_y, py, grid_.rows, h) - place.y_mm;
  places_.push_back(place);
}

void Faults::add_area(int fault) {
  const FaultSpec& spec = specs_[fault];
  Patch patch{fault, {}, {}, true};
  const double radius = spec.size_mm / 2;
  for (int j = 0; j < grid_.rows; ++j)
    for (int i = 0; i < grid_.columns; ++i) {
      const double distance = portable::length(grid_.x_of(i) - spec.centre.x, grid_.y_of(j) - spec.centre.y);
      const double kept = beyond(distance - radius, 0.3 * (grid_.pitch_x + grid_.pitch_y) / 2);
      if (kept >= 1) continue;
      patch.nodes.push_back(static_cast<std::uint32_t>(grid_.index(i, j)));
      patch.gains.push_back(static_cast<float>(spec.strength + (1 - spec.strength) * kept));
    }
  patches_.push_back(std::move(patch));
  const double x0 = std::max(0.0, spec.centre.x - radius), y0 = std::max(0.0, spec.centre.y - radius);
  places_.push_back({spec.kind, false, x0, y0, std::min(grid_.width_mm, spec.centre.x + radius) - x0,
                     std::min(grid_.height_mm, spec.centre.y + radius) - y0, true, true});
}

void Faults::add_band(int fault) {
  const FaultSpec& spec = specs_[fault];
  Patch patch{fault, {}, {}, true};
  for (int j = 0; j < grid_.rows; ++j)
    for (int i = 0; i < grid_.columns; ++i) {
      const double depths[] = {grid_.x_of(i), grid_.width_mm - grid_.x_of(i), grid_.y_of(j),
                               grid_.height_mm - grid_.y_of(j)};
      const double kept =
          beyond(depths[spec.side] - spec.size_mm, 0.3 * (spec.side < 2 ? grid_.pitch_x : grid_.pitch_y));
      if (kept >= 1) continue;
      patch.nodes.push_back(static_cast<std::uint32_t>(grid_.index(i, j)));
      patch.gains.push_back(static_cast<float>(spec.strength + (1 - spec.strength) * kept));
    }
  patches_.push_back(std::move(patch));
  const double w = grid_.width_mm, h = grid_.height_mm, d = spec.size_mm;
  const DeadPlace sides[] = {{spec.kind, false, 0, 0, d, h},
                             {spec.kind, false, w - d, 0, d, h},
                             {spec.kind, true, 0, 0, w, d},
                             {spec.kind, true, 0, h - d, w, d}};
  places_.push_back(sides[spec.side]);
}

// Poisson in time; ghosts come at one to three hot spots, or anywhere.
void Faults::add_episodes(int fault, double duration_s) {
  const FaultSpec& spec = specs_[fault];
  std::vector<Vec> spots;
  if (random_.chance(0.7))
    for (int k = random_.between(1, 3); k > 0; --k)
      spots.push_back({random_.uniform(2, grid_.width_mm - 2), random_.uniform(2, grid_.height_mm - 2)});
  for (double t = random_.exponential(spec.per_minute / 60); t < duration_s;
       t += random_.exponential(spec.per_minute / 60)) {
    Episode e{t, t + std::max(0.008, spec.lasting_s * random_.log_uniform(0.3, 2.5)), {}, 0};
    e.at = {random_.uniform(0, grid_.width_mm), random_.uniform(0, grid_.height_mm)};
    if (!spots.empty()) {
      const Vec spot = spots[static_cast<std::size_t>(random_.below(static_cast<int>(spots.size())))];
      e.at = {spot.x + random_.normal() * 0.8, spot.y + random_.normal() * 0.8};
    }
    e.strength = random_.uniform(0.5, 1.1);
    episodes_[fault].push_back(e);
    t = e.to_s;
  }
}

// Each Tx line is driven at its own time, so the noise differs from node to node along a stripe; a
// part is common to the line. It enters through the finger only.
void Faults::add_noise(NodeFrame& frame, const FaultSpec& spec, double t_s) {
  const double beat = 0.55 + 0.45 * portable::sin(two_pi * 0.37 * t_s);
  const int receivers = grid_.rx_are_columns ? grid_.columns : grid_.rows;
  const int drivers = grid_.rx_are_columns ? grid_.rows : grid_.columns;
  for (int r = 0; r < receivers; ++r) {
    double touched = 0;
    const auto at = [&](int d) { return grid_.rx_are_columns ? grid_.index(r, d) : grid_.index(d, r); };
    for (int d = 0; d < drivers; ++d) touched = std::max(touched, frame.finger[at(d)]);
    if (touched < 0.15) continue;
    const double size = spec.strength * beat * std::min(1.0, touched), common = random_.normal();
    for (int d = 0; d < drivers; ++d) {
      frame.signal[at(d)] += size * (0.5 * common + 0.87 * random_.normal());
      frame.near[at(d)] = 1;
    }
  }
}

void Faults::act_always(NodeFrame& frame) const {
  for (const Patch& patch : patches_) {
    if (specs_[patch.fault].kind == FaultKind::weak_line) continue;
    for (std::size_t k = 0; k < patch.nodes.size(); ++k) frame.signal[patch.nodes[k]] *= patch.gains[k];
  }
}

void Faults::act(NodeFrame& frame, double t_s) {
  const auto on = [&](int fault) {
    return std::any_of(episodes_[fault].begin(), episodes_[fault].end(),
                       [&](const Episode& e) { return t_s >= e.from_s && t_s < e.to_s; });
  };
  burst_ = -1;
  for (Patch& patch : patches_) {
    patch.now = specs_[patch.fault].kind != FaultKind::weak_line || on(patch.fault);
    if (!patch.now) continue;
    for (std::size_t k = 0; k < patch.nodes.size(); ++k) frame.signal[patch.nodes[k]] *= patch.gains[k];
  }
  for (int k = 0; k < static_cast<int>(specs_.size()); ++k) {
    if (specs_[k].kind == FaultKind::supply_noise) add_noise(frame, specs_[k], t_s);
    if (specs_[k].kind == FaultKind::bursts && on(k)) burst_ = k;
  }
  if (burst_ >= 0) std::fill(frame.signal.begin(), frame.signal.end(), 0.0);
}

void Faults::add_ghosts(std::vector<Footprint>& footprints, double t_s) const {
  for (std::size_t k = 0; k < specs_.size(); ++k) {
    if (specs_[k].kind != FaultKind::ghosts) continue;
    for (const Episode& e : episodes_[k])
      if (t_s >= e.from_s && t_s < e.to_s)
        footprints.push_back({e.at, 1.5, 1.5, e.strength, Touching::ghost});
  }
}

Vec Faults::tell(Vec at) const {
  for (const FaultSpec& spec : specs_) {
    if (spec.kind == FaultKind::offset) {
      const auto turn = portable::turn(spec.turn);
      at = {at.x + spec.size_mm * turn.cos, at.y + spec.size_mm * turn.sin};
    } else if (spec.kind == FaultKind::stretch) {
      double& v = spec.along_x ? at.x : at.y;
      const double middle = (spec.along_x ? grid_.width_mm : grid_.height_mm) / 2;
      v = middle + (v - middle) * (1 + spec.strength);
    }
  }
  return at;
}

int Faults::cause_at(int i, int j) const {
  if (burst_ >= 0) return burst_;
  const auto node = static_cast<std::uint32_t>(grid_.index(i, j));
  for (const Patch& patch : patches_)
    if (patch.now && std::find(patch.nodes.begin(), patch.nodes.end(), node) != patch.nodes.end())
      return patch.fault;
  for (int k = 0; k < static_cast<int>(specs_.size()); ++k)
    if (specs_[k].kind == FaultKind::supply_noise) return k;
  return -1;
}

}  // namespace paneproof
