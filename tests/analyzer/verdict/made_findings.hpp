// Findings made by hand, and their verdicts, for the tests of verdict and advice.
#pragma once

#include <algorithm>
#include <functional>
#include <random>
#include <string>
#include <vector>

#include "analyzer/verdict/limits.hpp"
#include "analyzer/verdict/verdict.hpp"

namespace paneproof {

inline Findings sound() {
  Findings f;
  f.panel_width_mm = 68, f.panel_height_mm = 142, f.fingertip_mm = 8;
  f.coverage.proven = 1, f.coverage.judged_mm2 = 68 * 142;
  f.coverage.largest_untested = {34, 70, 4.2};
  f.reports = 3000, f.contacts = 36, f.most_contacts = 1;
  f.rate.rate_hz = 120, f.rate.intervals = 2900;
  f.jitter.rms_mm = 0.05, f.jitter.reports = 2800;
  f.quality.fastest_useful_mm_s = 480;
  return f;
}

inline DeadZone zone(ZoneKind kind) {
  DeadZone z;
  z.kind = kind,
  z.along = kind == ZoneKind::line || kind == ZoneKind::partial_line ? Along::column : Along::none;
  z.x_mm = 20, z.y_mm = 30, z.width_mm = 6, z.height_mm = 60, z.lost = 9, z.passages = 9, z.confidence = 0.99;
  return z;
}

struct Case {
  const char* reason;
  Outcome outcome;
  std::function<void(Findings&)> happen;
  bool opens;  // its step opens the device
};

inline void add_zone(Findings& f, ZoneKind kind) { f.dead_zones.push_back(zone(kind)); }

// Everything that a sweep can show, one by one. The counts are far beyond today's limits.
inline std::vector<Case> cases() {
  return {
      {"dead_line", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::line); }, true},
      {"dead_partial_line", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::partial_line); }, true},
      {"dead_area", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::area); }, true},
      {"insensitive_edge", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::edge_band); }, true},
      {"contact_bursts", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::bursts); }, true},
      {"attested_dead_zone", Outcome::fail,
       [](Findings& f) { add_zone(f, ZoneKind::area), f.dead_zones.back().attested = true; }, true},
      {"ghost_touches", Outcome::fail, [](Findings& f) { f.ghosts.resize(1000); }, true},
      {"jitter_high", Outcome::fail, [](Findings& f) { f.jitter.rms_mm = 50; }, true},
      {"position_leaps", Outcome::fail,
       [](Findings& f) {
         f.doubts.assign(10, {0, 1, 0.01, {10, 10}, {16, 10}, "leap_once"});
       },
       true},
      {"untested_area", Outcome::resweep, [](Findings& f) { f.coverage.largest_untested.diameter_mm = 40; },
       false},
      {"doubtful_loss", Outcome::resweep,
       [](Findings& f) {
         f.doubts.push_back({0, 1, 0.2, {10, 10}, {20, 10}, "regrip_or_loss"});
       },
       false},
      {"swerves_around", Outcome::resweep,
       [](Findings& f) {
         f.doubts.push_back({0, 1, 0, {10, 10}, {10, 20}, "swerves_around"});
       },
       false},
      {"ghost_once", Outcome::resweep, [](Findings& f) { f.ghosts.resize(1); }, false},
      {"ghosts_or_hand", Outcome::resweep,
       [](Findings& f) {
         f.ghosts.assign(4, {0, 1, 30, 3});
       },
       false},
      {"position_jump", Outcome::resweep,
       [](Findings& f) {
         f.jumps.push_back({0, 1, {10, 10}, {60, 90}});
       },
       false},
      {"too_few_reports", Outcome::resweep, [](Findings& f) { f.reports = 3; }, false},
      {"report_rate_low", Outcome::resweep, [](Findings& f) { f.rate.rate_hz = 0.9; }, false},
      {"nothing_judged", Outcome::resweep, [](Findings& f) { f.coverage = {}; }, false},
      {"thing_too_large", Outcome::resweep,
       [](Findings& f) {
         f.recording.emplace();
         f.recording->followed_held = 1;
         f.recording->finger_within_mm = 0.26 * std::min(f.panel_width_mm, f.panel_height_mm);
       },
       false},
  };
}

inline bool has(const Verdict& verdict, const std::string& id) {
  return std::any_of(verdict.reasons.begin(), verdict.reasons.end(),
                     [&](const Reason& r) { return r.id == id; });
}

inline Verdict judged(const Findings& f, const std::vector<Condition>& conditions = {}) {
  return judge(f, default_limits(), conditions);
}

// Any mix of the cases.
inline Findings random_findings(std::mt19937_64& random) {
  Findings f = sound();
  for (const Case& c : cases())
    if (random() % 5 == 0) c.happen(f);
  f.pen_only = random() % 8 == 0;
  f.most_contacts = static_cast<int>(random() % 3);
  return f;
}

inline std::vector<Condition> random_conditions(std::mt19937_64& random) {
  std::vector<Condition> conditions;
  for (int c = 0; c < 7; ++c)
    if (random() % 6 == 0) conditions.push_back(static_cast<Condition>(c));
  return conditions;
}

}  // namespace paneproof
