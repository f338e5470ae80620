// Dropouts, ghosts and dead zones against the truth.
#include <algorithm>
#include <cmath>

#include "tests/truth/score_parts.hpp"

namespace paneproof {
namespace {

constexpr double near_s = 0.05, near_mm = 5, split_mm = 12, border_mm = 1;

// How far a told start lies from a loss, in s, 0 during it; or its return from the loss's end, if that is
// nearer: over the border nothing is owed, so there a loss begins before its truth does.
double apart_s(const Loss& loss, const Dropout& told) {
  const double from = static_cast<double>(loss.from_us) * 1e-6, to = static_cast<double>(loss.to_us) * 1e-6;
  const double start = told.t_s < from ? from - told.t_s : told.t_s > to ? told.t_s - from : 0;
  return std::min(start, std::abs(told.t_s + told.gap_s - to));
}

bool by_fault_seen_again(const Loss& loss) {
  return loss.cause == Cause::fault && !loss.since_landing && !loss.until_lift;
}

// The loss that a dropout tells of: of those within reach, one by a fault first, then the nearest. -1: none.
int matched(const std::vector<Loss>& losses, const Dropout& dropout, const std::vector<char>& used) {
  int best = -1;
  const auto rank = [&](int k) { return by_fault_seen_again(losses[k]) && !used[k] ? 0 : 1; };
  for (int k = 0; k < static_cast<int>(losses.size()); ++k) {
    const double apart = apart_s(losses[k], dropout);
    if (apart > near_s) continue;
    if (best < 0 || rank(k) < rank(best) || (rank(k) == rank(best) && apart < apart_s(losses[best], dropout)))
      best = k;
  }
  return best;
}

// Beside a finger noise splits its touch: that shows as jitter, and no trace tells it from a ghost.
bool beside_finger(const Truth& truth, const GhostTouch& ghost) {
  for (std::size_t f = 0; f < truth.fingers.size(); ++f) {
    const FingerSample finger = finger_at(truth.fingers[f], ghost.t_us - truth.finger_start_us[f]);
    if (finger.down && std::hypot(finger.at.x - ghost.at.x, finger.at.y - ghost.at.y) < split_mm) return true;
  }
  return false;
}

struct Extent {
  double x, y, width, height;
};

double overlap_mm2(const Extent& a, const Extent& b) {
  const double w = std::min(a.x + a.width, b.x + b.width) - std::max(a.x, b.x) + 2 * near_mm;
  const double h = std::min(a.y + a.height, b.y + b.height) - std::max(a.y, b.y) + 2 * near_mm;
  return w > 0 && h > 0 ? w * h : 0;
}

double overlap_mm2(const DeadZone& zone, const DeadPlace& place) {
  return overlap_mm2({zone.x_mm, zone.y_mm, zone.width_mm, zone.height_mm},
                     {place.x_mm, place.y_mm, place.width_mm, place.height_mm});
}

// Kind of the zone told for a place; none: told_kinds - 1.
int told_for(const std::vector<DeadZone>& zones, const DeadPlace& place) {
  int told = told_kinds - 1;
  double most = 0;
  for (const DeadZone& zone : zones) {
    if (zone.kind == ZoneKind::bursts) continue;
    const double overlap = overlap_mm2(zone, place);
    if (overlap > most) most = overlap, told = static_cast<int>(zone.kind);
  }
  return told;
}

bool at_dead_place(const DeadZone& zone, const Truth& truth) {
  return zone.kind != ZoneKind::bursts &&
         std::any_of(truth.dead_places.begin(), truth.dead_places.end(),
                     [&](const DeadPlace& place) { return overlap_mm2(zone, place) > 0; });
}

// What a panel that may have dead places as well tells of its bursts: these, or a zone where nothing is dead.
int told_for_bursts(const std::vector<DeadZone>& zones, const Truth& truth) {
  int told = told_kinds - 1;
  for (const DeadZone& zone : zones)
    if (zone.kind == ZoneKind::bursts || (told == told_kinds - 1 && !at_dead_place(zone, truth)))
      told = static_cast<int>(zone.kind);
  return told;
}

bool zone_is_right(const DeadZone& zone, const Truth& truth) {
  if (zone.kind == ZoneKind::bursts)
    return std::any_of(truth.faults.begin(), truth.faults.end(),
                       [](const FaultSpec& f) { return f.kind == FaultKind::bursts; });
  return at_dead_place(zone, truth);
}

// To a finger the outermost line, dead from end to end, and an insensitive edge are one thing.
FaultKind planted_kind(const DeadPlace& place, int told, const Panel& panel) {
  const bool line = place.kind == FaultKind::dead_line || place.kind == FaultKind::weak_line;
  const double from = place.along_x ? place.y_mm : place.x_mm;
  const double to = from + (place.along_x ? place.height_mm : place.width_mm);
  const bool outermost =
      from <= border_mm || to >= (place.along_x ? panel.height_mm : panel.width_mm) - border_mm;
  return line && outermost && told == static_cast<int>(ZoneKind::edge_band) ? FaultKind::edge_band
                                                                            : place.kind;
}

void count_kind(const RehearsedCase& c, FaultKind planted, int told, Score& score) {
  ++score.kinds[static_cast<std::size_t>(planted)][static_cast<std::size_t>(told)];
  const auto right = kind_to_tell(planted);
  if (told == told_kinds - 1 || (right && static_cast<int>(*right) == told)) return;
  score.failures.push_back({"dead zone, kind", c.rehearsed.spec.seed, 1,
                            std::string(fault_names[static_cast<int>(planted)]) + " told as " +
                                word(static_cast<ZoneKind>(told))});
}

void tell_count(const RehearsedCase& c, const char* kind, int count, Score& score) {
  const Truth& truth = c.rehearsed.truth;
  if (count > 0)
    score.failures.push_back(
        {kind, c.rehearsed.spec.seed, static_cast<double>(count),
         std::to_string(count) + ", " +
             (truth.faults.empty() ? "sound" : fault_names[static_cast<int>(truth.faults[0].kind)]) +
             ", firmware " + firmware_names[static_cast<int>(c.rehearsed.firmware.family)]});
}

}  // namespace

void score_dropouts(const RehearsedCase& c, Score& score) {
  const std::vector<Loss>& losses = c.rehearsed.truth.losses;
  std::vector<char> used(losses.size(), 0);
  int wrong = 0, missed = 0;
  for (const Dropout& dropout : c.findings.dropouts) {
    const int k = matched(losses, dropout, used);
    if (k >= 0) used[static_cast<std::size_t>(k)] = 1;
    const bool right = k >= 0 && by_fault_seen_again(losses[static_cast<std::size_t>(k)]);
    if (k >= 0 && !right) continue;  // neither right nor wrong
    score.dropouts.precision.count(right);
    score.losses.count(dropout.confidence, right);
    wrong += !right;
    if (!right) score.false_leaps.count(dropout.same_contact && dropout.missed == 0);
  }
  for (std::size_t k = 0; k < losses.size(); ++k) {
    if (tellable(losses[k])) {
      score.dropouts.recall.count(used[k]);
      missed += !used[k];
    } else if (losses[k].cause == Cause::fault && (losses[k].since_landing || losses[k].until_lift)) {
      score.half_seen.count(used[k]);
    }
  }
  tell_count(c, "dropouts, false", wrong, score);
  tell_count(c, "dropouts, missed", missed, score);
}

void score_ghosts(const RehearsedCase& c, Score& score) {
  const std::vector<GhostTouch>& truth = c.rehearsed.truth.ghosts;
  std::vector<char> used(truth.size(), 0);
  int wrong = 0, missed = 0;
  for (const Ghost& ghost : c.findings.ghosts) {
    bool right = false, neutral = false;
    for (std::size_t k = 0; k < truth.size(); ++k) {
      const bool near = std::abs(static_cast<double>(truth[k].t_us) * 1e-6 - ghost.t_s) <= near_s &&
                        std::hypot(truth[k].at.x - ghost.x_mm, truth[k].at.y - ghost.y_mm) <= near_mm;
      if (!near) continue;
      used[k] = 1;
      (truth[k].cause == Cause::fault ? right : neutral) = true;
    }
    if (neutral && !right) continue;
    score.ghosts.precision.count(right);
    wrong += !right;
  }
  for (std::size_t k = 0; k < truth.size(); ++k) {
    if (truth[k].cause != Cause::fault || beside_finger(c.rehearsed.truth, truth[k])) continue;
    score.ghosts.recall.count(used[k]);
    missed += !used[k];
  }
  tell_count(c, "ghosts, false", wrong, score);
  tell_count(c, "ghosts, missed", missed, score);
}

void score_zones(const RehearsedCase& c, Score& score) {
  const Truth& truth = c.rehearsed.truth;
  for (const DeadZone& zone : c.findings.dead_zones) {
    const bool right = zone_is_right(zone, truth);
    score.zones.count(zone.confidence, right);
    if (!right)
      score.failures.push_back(
          {"dead zone, false", c.rehearsed.spec.seed, zone.width_mm * zone.height_mm,
           std::string(word(zone.kind)) + " told on " +
               (truth.faults.empty() ? "a sound panel"
                                     : fault_names[static_cast<int>(truth.faults[0].kind)])});
  }
  for (const DeadPlace& place : truth.dead_places) {
    const int told = told_for(c.findings.dead_zones, place);
    count_kind(c, planted_kind(place, told, c.trace.panel), told, score);
  }
  for (const FaultSpec& fault : truth.faults)
    if (fault.kind == FaultKind::bursts)
      count_kind(c, fault.kind, told_for_bursts(c.findings.dead_zones, truth), score);
}

}  // namespace paneproof
