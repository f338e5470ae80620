#include "analyzer/measure/dropouts.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/decimals.hpp"

namespace paneproof {
namespace {

constexpr double jump_mm = 25.0;  // a leap this long is no missed electrode
// Firmware that holds a lifted contact for some frames makes a re-grip look quicker than it was: a few prove
// nothing.
constexpr double surely_no_hand_s = 0.045;
constexpr double shortest_loss_s = 0.02;
constexpr std::size_t many_losses = 5;

// Of dropouts told at a fault beyond doubt, this share is right on the rehearsal mix (docs/accuracy.md): the
// others are fingers that lifted beside it.
constexpr double surest = 0.95, elsewhere_right = 0.92;  // elsewhere: no place of many explains it
constexpr double bursts_right = 0.75;

Point printed(Point p) { return {round_mm(p.x_mm), round_mm(p.y_mm)}; }

bool no_hand(const Silence& s) {
  return s.kind == Silence::Kind::leap ||
         (s.kind == Silence::Kind::loss && s.gap_s - s.interval_s < surely_no_hand_s);
}

Dropout dropout_of(const Silence& s, const Repeat& repeat) {
  Dropout d;
  d.sweep = static_cast<int>(s.sweep);
  d.t_s = round_s(s.t_s);
  d.gap_s = round_s(s.gap_s);
  d.x_mm = round_mm(s.from.x_mm);
  d.y_mm = round_mm(s.from.y_mm);
  d.gap_mm = round_mm(s.gap_mm);
  d.regained = printed(s.to);
  d.missed = s.missed();
  d.lost = repeat.lost;
  d.passages = repeat.passages;
  d.same_contact = s.kind != Silence::Kind::loss;
  d.confidence = round_share(repeat.fault ? surest * (1 - std::exp(repeat.log_chance)) : elsewhere_right);
  return d;
}

const char* doubt_id(const Silence& s) {
  if (s.kind == Silence::Kind::leap) return "leap_once";
  if (s.kind == Silence::Kind::hole) return "host_or_panel_once";
  return "regrip_or_loss";
}

Doubt doubt_of(const Silence& s) {
  return {static_cast<int>(s.sweep), round_s(s.t_s), round_s(s.gap_s),
          printed(s.from),           printed(s.to),  doubt_id(s)};
}

DeadZone zone_of(const Bursts& bursts, const Findings& findings) {
  DeadZone zone;
  zone.kind = ZoneKind::bursts;
  zone.width_mm = findings.panel_width_mm;
  zone.height_mm = findings.panel_height_mm;
  zone.lost = zone.passages = bursts.lost;
  zone.intermittent = true;
  zone.confidence = bursts_right;
  return zone;
}

}  // namespace

void tell_silences(const Trace& trace, const std::vector<Silence>& silences,
                   const std::vector<Repeat>& repeats, const Bursts& bursts, Findings& findings) {
  const auto in_doubt = [](const Silence& s) {
    return s.kind != Silence::Kind::hole && !s.one_sided && !s.mistimed;
  };
  const auto loss = [&](std::size_t i) {
    return silences[i].kind == Silence::Kind::loss && !silences[i].one_sided && !repeats[i].fault;
  };
  std::size_t losses = 0;
  for (std::size_t i = 0; i < silences.size(); ++i) losses += loss(i) && !silences[i].mistimed;
  // One loss over which other passages were reported is cleared; many are a contact that comes and goes.
  const bool clears =
      losses < many_losses * std::max<std::size_t>(1, trace.sweeps.size()) && !bursts.doubtful;
  for (std::size_t i = 0; i < silences.size(); ++i) {
    const Silence& s = silences[i];
    if (repeats[i].fault) {
      // A leap at about the usual interval is evidence for its zone, but no contact was lost.
      if (s.kind != Silence::Kind::leap || s.gap_s - s.interval_s >= shortest_loss_s)
        findings.dropouts.push_back(dropout_of(s, repeats[i]));
    } else if (s.kind == Silence::Kind::leap && s.gap_mm > jump_mm) {
      findings.jumps.push_back({static_cast<int>(s.sweep), round_s(s.t_s), printed(s.from), printed(s.to)});
    } else if (bursts.of[i]) {
      findings.dropouts.push_back(dropout_of(s, repeats[i]));
    } else {
      if (loss(i) && repeats[i].lost == 1 && no_hand(s))
        findings.dropouts.push_back(dropout_of(s, repeats[i]));
      const bool cleared = repeats[i].cleared && (clears || s.kind != Silence::Kind::loss);
      if (in_doubt(s)) (cleared ? findings.cleared : findings.doubts).push_back(doubt_of(s));
    }
  }
  if (bursts.lost == 0) {
    for (const Silence& s : bursts.others) findings.doubts.push_back(doubt_of(s));
    return;
  }
  for (const Silence& s : bursts.others) findings.dropouts.push_back(dropout_of(s, {}));
  findings.dead_zones.push_back(zone_of(bursts, findings));
}

void tell_breaks(const std::vector<Silence>& breaks, Findings& findings) {
  for (const Silence& s : breaks) {
    Repeat at_fault;
    at_fault.fault = true;
    at_fault.log_chance = std::log(0.1);
    findings.dropouts.push_back(dropout_of(s, at_fault));
  }
  std::stable_sort(findings.dropouts.begin(), findings.dropouts.end(),
                   [](const Dropout& a, const Dropout& b) {
                     return a.sweep != b.sweep ? a.sweep < b.sweep : a.t_s < b.t_s;
                   });
  const auto one_loss = [](const Dropout& a, const Dropout& b) {
    return a.sweep == b.sweep && a.t_s == b.t_s && a.x_mm == b.x_mm && a.y_mm == b.y_mm;
  };
  findings.dropouts.erase(std::unique(findings.dropouts.begin(), findings.dropouts.end(), one_loss),
                          findings.dropouts.end());
}

}  // namespace paneproof
