#include "analyzer/verdict/verdict.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "analyzer/measure/length.hpp"
#include "analyzer/verdict/advice.hpp"
#include "analyzer/verdict/limits.hpp"

namespace paneproof {
namespace {

constexpr std::int64_t fewest_reports = 20;
constexpr double holding_hand_mm = 20;  // from the border (common practice, no source)
// Single leaps, each where no other was. Of 1,100 sound sweeps rehearsed one held two, one held one, the
// others none.
constexpr std::size_t unsteady_leaps = 10;

template <class... Args>
std::string format(const char* pattern, Args... args) {
  char text[512];
  std::snprintf(text, sizeof text, pattern, args...);
  return text;
}

// Conditions under which a sound panel may lose contact, jitter or show ghosts.
bool weighs(Condition condition) { return condition != Condition::open; }

// The side that an edge band lies along.
const char* side_of(const DeadZone& z, const Findings& f) {
  if (z.along == Along::column) return z.x_mm + z.width_mm / 2 < f.panel_width_mm / 2 ? "left" : "right";
  return z.y_mm + z.height_mm / 2 < f.panel_height_mm / 2 ? "top" : "bottom";
}

Reason zone_reason(const DeadZone& z, const Findings& f) {
  const std::string lost =
      z.passages > 0 ? format(" (lost %d of %d passages)", z.lost, z.passages) : std::string();
  const char* how = z.intermittent ? "works only now and then" : "does not answer";
  const auto box = [&] {
    return format("x %.1f to %.1f mm, y %.1f to %.1f mm", z.x_mm, z.x_mm + z.width_mm, z.y_mm,
                  z.y_mm + z.height_mm);
  };
  if (z.attested)
    return {"attested_dead_zone",
            "No report at " + box() + ", where the operator states that the finger went.", Outcome::fail};
  switch (z.kind) {
    case ZoneKind::line:
      if (z.along == Along::column)
        return {"dead_line",
                format("A column from x %.1f to %.1f mm %s from top to bottom%s.", z.x_mm,
                       z.x_mm + z.width_mm, how, lost.c_str()),
                Outcome::fail};
      return {"dead_line",
              format("A row from y %.1f to %.1f mm %s from side to side%s.", z.y_mm, z.y_mm + z.height_mm,
                     how, lost.c_str()),
              Outcome::fail};
    case ZoneKind::partial_line:
      return {
          "dead_partial_line",
          format("Part of a %s %s: ", z.along == Along::column ? "column" : "row", how) + box() + lost + ".",
          Outcome::fail};
    case ZoneKind::edge_band:
      return {"insensitive_edge",
              format("A band along the %s edge %s: ", side_of(z, f), how) + box() + lost + ".",
              Outcome::fail};
    case ZoneKind::bursts:
      return {"contact_bursts",
              format("Contact was lost %d times in motion, at places all over the panel, more often than "
                     "hands lift in passing.",
                     z.lost),
              Outcome::fail};
    case ZoneKind::area:
      break;
  }
  return {"dead_area", format("An area %s: ", how) + box() + lost + ".", Outcome::fail};
}

// A hand that holds the device or rests on it touches the glass near the border, now and then.
bool perhaps_a_hand(const Findings& f, const Limits& limits) {
  return static_cast<double>(f.ghosts.size()) < 2 * limits.ghosts &&
         std::all_of(f.ghosts.begin(), f.ghosts.end(), [&](const Ghost& g) {
           return std::min({g.x_mm, g.y_mm, f.panel_width_mm - g.x_mm, f.panel_height_mm - g.y_mm}) <=
                  holding_hand_mm;
         });
}

std::size_t doubts_of(const Findings& f, const char* id) {
  return static_cast<std::size_t>(
      std::count_if(f.doubts.begin(), f.doubts.end(), [&](const Doubt& d) { return d.id == id; }));
}

void weigh_faults(const Findings& f, const Limits& limits, std::vector<Reason>& reasons) {
  for (const DeadZone& zone : f.dead_zones) reasons.push_back(zone_reason(zone, f));
  const auto drops =
      std::count_if(f.dropouts.begin(), f.dropouts.end(), [](const Dropout& d) { return d.of_recording; });
  if (drops > 0) {
    const std::string times = drops == 1 ? "once" : format("%d times", static_cast<int>(drops));
    reasons.push_back({"dropped_while_dragging",
                       format("What was dragged was let go %s while the hand was moving.", times.c_str()),
                       Outcome::fail});
  }
  if (static_cast<double>(f.ghosts.size()) >= limits.ghosts && !perhaps_a_hand(f, limits))
    reasons.push_back(
        {"ghost_touches", format("%zu touches appeared that nobody made.", f.ghosts.size()), Outcome::fail});
  const double most_jitter_mm =
      f.reference ? limits.jitter_ratio * f.reference->jitter_rms_mm : limits.jitter_rms_mm;
  if (most_jitter_mm > 0 && f.jitter.rms_mm > most_jitter_mm)
    reasons.push_back({"jitter_high",
                       format("Reports jitter by %.3f mm across the path, more than the %.3f mm allowed.",
                              f.jitter.rms_mm, most_jitter_mm),
                       Outcome::fail});
  if (const std::size_t leaps = doubts_of(f, "leap_once"); leaps >= unsteady_leaps)
    reasons.push_back(
        {"position_leaps",
         format("The position leapt %zu times, further than the finger went, hardly twice at one place.",
                leaps),
         Outcome::fail});
}

void weigh_doubts(const Findings& f, const Limits& limits, std::vector<Reason>& reasons) {
  const auto resweep = [&](const char* id, const std::string& text) {
    reasons.push_back({id, text, Outcome::resweep});
  };
  const Circle& hole = f.coverage.largest_untested;
  if (f.coverage.judged_mm2 <= 0)
    resweep("nothing_judged", "The rim and the mask leave nothing of the panel to judge.");
  else if (hole.diameter_mm > limits.fingertip_mm)
    resweep(
        "untested_area",
        format("A circle %.2f mm wide at x %.1f mm, y %.1f mm holds no report; at most %.2f mm may be left.",
               rounded_up(hole.diameter_mm, 100), hole.x_mm, hole.y_mm, limits.fingertip_mm));
  // A strip narrower than a fingertip holds no whole fingertip, and is said to be left out; a wider one could
  // hide what a pass rules out.
  if (f.out_of_reach_mm > limits.fingertip_mm)
    resweep("out_of_reach",
            format("A strip %.1f mm wide was out of the page's reach; at most %.1f mm may be left untested.",
                   f.out_of_reach_mm, limits.fingertip_mm));
  const std::size_t unclear = doubts_of(f, "drop_or_release"), lost = doubts_of(f, "tracking_lost"),
                    around = doubts_of(f, "swerves_around"), leaps = doubts_of(f, "leap_once");
  const std::size_t losses =
      f.doubts.size() - unclear - lost - around - (leaps >= unsteady_leaps ? leaps : 0);
  const bool of_marks = f.recording && f.recording->finger_within_mm == 0;  // touches that the system draws
  const auto times = [](std::size_t n) { return n == 1 ? std::string("once") : format("%zu times", n); };
  if (unclear > 0)
    resweep("drop_or_release",
            format(of_marks ? "A touch ended in flight %s: by the hand or by the panel, this does not tell."
                            : "What was dragged was let go %s after too short a rest to tell a drop from a "
                              "release.",
                   times(unclear).c_str()));
  if (lost > 0 || (f.recording && f.recording->followed_held < limits.followed))
    resweep("tracking_lost",
            format("%s could not be followed all the way: its place is known in %.1f %% of the frames in "
                   "which it is held%s.",
                   of_marks ? "The mark of a touch" : "What was dragged",
                   f.recording ? std::floor(f.recording->followed_held * 1000) / 10 : 0.0,
                   (lost == 0 ? "" : ", and was lost for good " + times(lost)).c_str()));
  // More of the panel's width is left out along the sides than is judged.
  if (f.recording && 4 * f.recording->finger_within_mm > std::min(f.panel_width_mm, f.panel_height_mm))
    resweep("thing_too_large", format("What was dragged is so large that the finger may have been up to %.1f "
                                      "mm from its middle: too little of the panel can be judged by it.",
                                      f.recording->finger_within_mm));
  if (losses > 0)
    resweep("doubtful_loss",
            losses == 1
                ? "Contact was lost once while moving: by the hand or by the panel, one event does not tell."
                : format("Contact was lost %zu times while moving, never twice at one place: by the hand or "
                         "by the panel, this does not tell.",
                         losses));
  if (around > 0)
    resweep("swerves_around", format("Strokes on both sides swerve away from %zu place%s, as they do around "
                                     "a spot that does not feel the finger.",
                                     around, around == 1 ? "" : "s"));
  if (!f.ghosts.empty() && static_cast<double>(f.ghosts.size()) < limits.ghosts)
    resweep("ghost_once", format("%zu touch%s appeared that nobody seems to have made.", f.ghosts.size(),
                                 f.ghosts.size() == 1 ? "" : "es"));
  else if (!f.ghosts.empty() && perhaps_a_hand(f, limits))
    resweep("ghosts_or_hand", format("%zu touches appeared, all within %.0f mm of the border: nobody's, or "
                                     "those of a hand that held the device.",
                                     f.ghosts.size(), holding_hand_mm));
  if (!f.jumps.empty())
    resweep("position_jump",
            format("The position jumped %zu time%s.", f.jumps.size(), f.jumps.size() == 1 ? "" : "s"));
  if (f.reports < fewest_reports)
    resweep("too_few_reports",
            format("Only %lld positions were reported.", static_cast<long long>(f.reports)));
  const double least_rate_hz = f.reference ? limits.rate_ratio * f.reference->rate_hz : limits.report_rate_hz;
  if (f.rate.rate_hz > 0 && f.rate.rate_hz < least_rate_hz && !f.rate.limited_by_source)
    resweep("report_rate_low", format("The panel reported %.1f times a second; at least %.1f is expected.",
                                      f.rate.rate_hz, least_rate_hz));
}

// Under a bad condition no fault is the panel's until a clean sweep shows it again.
void weigh_conditions(const std::vector<Condition>& conditions, std::vector<Reason>& reasons) {
  std::string names;
  for (const Condition condition : conditions)
    if (weighs(condition)) names += (names.empty() ? "" : ", ") + std::string(word(condition));
  if (names.empty() || reasons.empty()) return;
  bool blamed = false;
  for (Reason& reason : reasons) {
    blamed |= reason.weight == Outcome::fail || reason.id == "doubtful_loss" ||
              reason.id == "swerves_around" || reason.id == "ghost_once" || reason.id == "ghosts_or_hand";
    reason.weight = Outcome::resweep;
  }
  if (blamed)
    reasons.insert(
        reasons.begin(),
        {"condition",
         "The sweep was made under a condition that can cause this on a sound panel (" + names + ").",
         Outcome::resweep});
}

}  // namespace

Verdict judge(const Findings& findings, const Limits& limits, const std::vector<Condition>& conditions) {
  Verdict verdict;
  weigh_faults(findings, limits, verdict.reasons);
  weigh_doubts(findings, limits, verdict.reasons);
  weigh_conditions(conditions, verdict.reasons);
  const auto any = [&](Outcome weight) {
    return std::any_of(verdict.reasons.begin(), verdict.reasons.end(),
                       [&](const Reason& r) { return r.weight == weight; });
  };
  verdict.outcome = any(Outcome::fail)      ? Outcome::fail
                    : any(Outcome::resweep) ? Outcome::resweep
                                            : Outcome::pass;
  if (verdict.outcome == Outcome::pass)
    verdict.reasons.push_back({"all_proven",
                               format("Every circle of %.2f mm or wider in the judged area holds a report, "
                                      "and no loss of contact repeats.",
                                      rounded_up(findings.coverage.largest_untested.diameter_mm, 100)),
                               Outcome::pass});
  if (findings.pen_only)
    verdict.reasons.push_back(
        {"pen_layer_only", "The log shows a pen: the verdict is on the pen layer only.", verdict.outcome});
  // Weightiest first; fail, then resweep, then pass.
  constexpr int weight_order[] = {2, 0, 1};
  std::stable_sort(verdict.reasons.begin(), verdict.reasons.end(), [&](const Reason& a, const Reason& b) {
    return weight_order[static_cast<int>(a.weight)] < weight_order[static_cast<int>(b.weight)];
  });
  const bool open = std::find(conditions.begin(), conditions.end(), Condition::open) != conditions.end();
  verdict.next_steps = next_steps(findings, verdict.reasons, open);
  verdict.cautions = cautions_for(verdict.reasons);
  verdict.not_tested = not_tested(findings);
  verdict.customer = customer_sentence(verdict.outcome, findings);
  return verdict;
}

}  // namespace paneproof
