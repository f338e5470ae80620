#include "tests/truth/clear_cut.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/guarantee.hpp"

namespace paneproof {
namespace {

constexpr double towards_mm_s = 30, deep_edge_mm = 4, look_back_us = 20000;
constexpr double noisy_beyond_doubt = 1.2;

std::vector<Vec> reported_by_fingers(const RehearsedCase& c) {
  const Trace trace = trace_of(c.rehearsed);
  std::vector<char> nobodys(trace.contacts.size(), 0);
  for (const GhostTouch& ghost : c.rehearsed.truth.ghosts) nobodys[ghost.contact] = 1;
  std::vector<Vec> places;
  for (const Report& report : trace.reports)
    if (!nobodys[report.contact]) places.push_back({report.x, report.y});
  return places;
}

// Depth inside the border and speed towards it; side as in FaultSpec.
struct Approach {
  double depth_mm, speed_mm_s;
};
Approach approach(const Truth& truth, const Loss& loss, int side, const Panel& panel) {
  const auto finger = static_cast<std::size_t>(loss.finger);
  const std::int64_t since = loss.from_us - truth.finger_start_us[finger];
  const Vec now = finger_at(truth.fingers[finger], since).at;
  const Vec before = finger_at(truth.fingers[finger], since - static_cast<std::int64_t>(look_back_us)).at;
  const auto depth = [&](Vec at) {
    const double depths[] = {at.x, panel.width_mm - at.x, at.y, panel.height_mm - at.y};
    return depths[side];
  };
  return {depth(now), (depth(before) - depth(now)) / (look_back_us * 1e-6)};
}

int lost_towards_side(const Truth& truth, int side, const Panel& panel) {
  return static_cast<int>(std::count_if(truth.losses.begin(), truth.losses.end(), [&](const Loss& loss) {
    if (loss.cause != Cause::fault || loss.fault != FaultKind::edge_band || loss.since_landing) return false;
    const Approach a = approach(truth, loss, side, panel);
    return a.depth_mm >= deep_edge_mm && a.speed_mm_s >= towards_mm_s;
  }));
}

bool wide_place(const Truth& truth, FaultKind kind) {
  return std::any_of(truth.dead_places.begin(), truth.dead_places.end(), [&](const DeadPlace& place) {
    return place.kind == kind && narrow_mm(place) >= wide_zone_mm;
  });
}

bool shows(const RehearsedCase& c, const FaultSpec& fault, const Limits& limits) {
  const Truth& truth = c.rehearsed.truth;
  switch (fault.kind) {
    case FaultKind::dead_line:
    case FaultKind::partial_line:
    case FaultKind::dead_area:
      return wide_place(truth, fault.kind) && tellable_losses(truth, fault.kind) >= crossings_that_tell;
    case FaultKind::weak_line:
      return tellable_losses(truth, fault.kind) >= crossings_that_tell;
    case FaultKind::edge_band:
      return lost_towards_side(truth, fault.side, c.trace.panel) >= crossings_that_tell;
    case FaultKind::bursts:
      return tellable_losses(truth, fault.kind) >= bursts_that_tell;
    case FaultKind::ghosts:
      return static_cast<double>(
                 std::count_if(truth.ghosts.begin(), truth.ghosts.end(),
                               [](const GhostTouch& g) { return g.cause == Cause::fault; })) >= limits.ghosts;
    case FaultKind::supply_noise:
      return truth.jitter_rms_mm >= noisy_beyond_doubt * limits.jitter_rms_mm;
    case FaultKind::offset:
    case FaultKind::stretch:
      break;
  }
  return false;
}

}  // namespace

double circle_left(const Panel& panel, const std::vector<Vec>& places) {
  Trace trace;
  trace.panel = panel;
  trace.sweeps.emplace_back();
  for (const Vec& place : places) trace.reports.push_back({0, place.x, place.y, 0, 0});
  if (!places.empty())
    trace.contacts.push_back({0, static_cast<std::uint32_t>(places.size()), 0, Ending::lifted, Tool::finger});
  const Raster raster = raster_over(panel);
  const ReportField field(trace, raster, std::vector<std::uint8_t>(trace.contacts.size(), 1));
  return largest_untested_circle(field, panel, judged_pixels(raster, panel)).diameter_mm;
}

std::vector<Vec> true_path(const Truth& truth, const Panel& panel) {
  std::vector<Vec> path;
  for (const auto& finger : truth.fingers)
    for (const FingerSample& s : finger) {
      if (!s.down || s.touch < 0.5) continue;
      const Vec at{std::clamp(s.at.x, 0.0, panel.width_mm), std::clamp(s.at.y, 0.0, panel.height_mm)};
      if (std::hypot(s.at.x - at.x, s.at.y - at.y) > fingertip_reach_mm) continue;
      if (!path.empty() && std::hypot(at.x - path.back().x, at.y - path.back().y) < 0.3) continue;
      // Whole micrometres, as a Trace holds them.
      path.push_back({std::round(at.x * 1e3) / 1e3, std::round(at.y * 1e3) / 1e3});
    }
  return path;
}

bool tellable(const Loss& loss) {
  return loss.cause == Cause::fault && !loss.since_landing && !loss.until_lift &&
         std::hypot(loss.to.x - loss.from.x, loss.to.y - loss.from.y) >= tellable_way_mm;
}

int tellable_losses(const Truth& truth, FaultKind kind) {
  return static_cast<int>(std::count_if(truth.losses.begin(), truth.losses.end(), [&](const Loss& loss) {
    return tellable(loss) && loss.fault == kind;
  }));
}

double narrow_mm(const DeadPlace& place) { return std::min(place.width_mm, place.height_mm); }

ClearCut clear_cut(const RehearsedCase& c, const Limits& limits) {
  const Truth& truth = c.rehearsed.truth;
  for (const FaultSpec& fault : truth.faults)
    if (shows(c, fault, limits)) return {Outcome::fail, fault_names[static_cast<int>(fault.kind)]};
  if (truth.faulty) return {};
  const double path_mm = circle_left(c.trace.panel, true_path(truth, c.trace.panel));
  if (path_mm >= resweep_from_mm) return {Outcome::resweep, "not swept"};
  if (path_mm < pass_below_mm && circle_left(c.trace.panel, reported_by_fingers(c)) < pass_below_mm)
    return {Outcome::pass, "sound, swept"};
  return {};
}

}  // namespace paneproof
