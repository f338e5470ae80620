#include "analyzer/verdict/advice.hpp"

#include <algorithm>
#include <cstdio>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

template <class... Args>
std::string format(const char* pattern, Args... args) {
  char text[512];
  std::snprintf(text, sizeof text, pattern, args...);
  return text;
}

bool has(const std::vector<Reason>& reasons, const char* id) {
  return std::any_of(reasons.begin(), reasons.end(), [&](const Reason& r) { return r.id == id; });
}

// Reasons whose next step opens the device.
constexpr const char* opening[] = {
    "dead_line",          "dead_partial_line", "dead_area",     "insensitive_edge", "contact_bursts",
    "attested_dead_zone", "jitter_high",       "ghost_touches", "position_leaps",   "dropped_while_dragging"};

// Where on the glass: in mm, and as who holds the device sees it.
std::string where(const Findings& f, double x_mm, double y_mm) {
  const auto third = [](double at, double of) { return 3 * at < of ? 0 : 3 * at > 2 * of ? 2 : 1; };
  constexpr const char* names[3][3] = {{"top left", "top", "top right"},
                                       {"left", "middle", "right"},
                                       {"bottom left", "bottom", "bottom right"}};
  return format("x %.0f mm, y %.0f mm (%s)", x_mm, y_mm,
                names[third(y_mm, f.panel_height_mm)][third(x_mm, f.panel_width_mm)]);
}

std::string where(const Findings& f, const Doubt& doubt) {
  return where(f, (doubt.from.x_mm + doubt.to.x_mm) / 2, (doubt.from.y_mm + doubt.to.y_mm) / 2);
}

std::string drag_again(const Findings& findings) {
  const Circle& hole = findings.coverage.largest_untested;
  const std::string hole_at = where(findings, hole.x_mm, hole.y_mm);
  std::string step = format("Drag again, slowly (under %.0f mm/s), over ",
                            std::max(40.0, std::min(150.0, findings.quality.fastest_useful_mm_s)));
  step += findings.quality.left.empty() ? "the circle that holds no report, about " + hole_at + "."
                                        : "the places marked as left; the widest lies about " + hole_at + ".";
  step += " A stroke across a place is evidence, one along it is not: cross it in rows and in columns.";
  return step;
}

std::string doubt_again(const Findings& findings, const Doubt& doubt) {
  if (doubt.id == "swerves_around")
    return "Drag straight and slowly across " + where(findings, doubt) +
           ", in a row and in a column: the strokes beside it swerved away from it.";
  return "Drag again across " + where(findings, doubt) +
         ", twice, without lifting: contact was lost there once, by the hand or by the panel.";
}

// The first three that another drag can clear.
std::vector<const Doubt*> losses_in_doubt(const Findings& findings) {
  constexpr std::size_t most = 3;
  std::vector<const Doubt*> losses;
  for (const Doubt& doubt : findings.doubts)
    if (losses.size() < most && doubt.id != "drop_or_release" && doubt.id != "tracking_lost")
      losses.push_back(&doubt);
  return losses;
}

// Where a recording shows a drop: one event is the hand's or the panel's, two at one place are the panel's.
std::string drop_again(const Findings& findings) {
  const auto drop = std::find_if(findings.dropouts.begin(), findings.dropouts.end(),
                                 [](const Dropout& d) { return d.of_recording; });
  return "Record again, dragging slowly and with even pressure across " +
         where(findings, drop->x_mm, drop->y_mm) + ", from both sides.";
}

}  // namespace

std::vector<std::string> next_steps(const Findings& findings, const std::vector<Reason>& reasons, bool open) {
  std::vector<std::string> steps;
  const auto add = [&](bool wanted, const std::string& step) {
    if (wanted && std::find(steps.begin(), steps.end(), step) == steps.end()) steps.push_back(step);
  };
  const bool line = has(reasons, "dead_line") || has(reasons, "contact_bursts");
  const bool part =
      has(reasons, "dead_partial_line") || has(reasons, "dead_area") || has(reasons, "attested_dead_zone");
  add(has(reasons, "condition"),
      "Sweep again clean, dry, bare-fingered, at room temperature and on battery before the panel is "
      "blamed.");
  add(line, "Reseat the digitizer connector and sweep again.");
  add(line, "If it stays, inspect the flex for a crease, a tear or dirt on its contacts.");
  add(has(reasons, "insensitive_edge"),
      "Clear the edge of adhesive, foil and frame pressure, refit the frame and sweep again.");
  const bool noise =
      has(reasons, "ghost_touches") || has(reasons, "jitter_high") || has(reasons, "position_leaps");
  add(noise,
      "Take the device off its charger, or change the charger, clean and dry the glass, and sweep again.");
  add(noise,
      "If it stays on battery, reseat the digitizer connector and check that the shield and ground tape are "
      "in place.");
  if (has(reasons, "dropped_while_dragging") &&
      std::any_of(findings.dropouts.begin(), findings.dropouts.end(),
                  [](const Dropout& d) { return d.of_recording; })) {
    add(true, drop_again(findings));
    add(true,
        "If it is let go there again, it is not the hand: reseat the digitizer connector and sweep again.");
  }
  add(part,
      "Look for a crack or a pressed spot under the glass, reseat the digitizer connector and sweep again.");
  add(line || part || has(reasons, "insensitive_edge"), "If it is the same after that, replace the panel.");
  // Where all that is untested is a dead zone, dragging again proves nothing new.
  const bool swept = std::any_of(reasons.begin(), reasons.end(),
                                 [](const Reason& r) { return r.weight == Outcome::fail; }) &&
                     findings.quality.left.empty();
  add(has(reasons, "untested_area") && !swept, drag_again(findings));
  add(has(reasons, "out_of_reach"),
      "Let the page fill the screen (full screen, or added to the home screen) and sweep the strips that it "
      "left out; or sweep by wire, which reaches all.");
  if (has(reasons, "doubtful_loss") || has(reasons, "swerves_around"))
    for (const Doubt* doubt : losses_in_doubt(findings)) add(true, doubt_again(findings, *doubt));
  add(has(reasons, "ghost_once"),
      "Leave the device untouched for half a minute, then sweep again: watch for touches that nobody makes.");
  add(has(reasons, "ghosts_or_hand"),
      "Lay the device down, keep all but one fingertip off the glass, and sweep again.");
  add(has(reasons, "report_rate_low") || has(reasons, "too_few_reports"),
      "Record again with nothing else running on the device, and drag slowly.");
  add(has(reasons, "position_jump"),
      "Sweep again with one finger only and the palm off the glass: the position jumped.");
  add(has(reasons, "drop_or_release"),
      "Record again, and come to rest for half a second before letting go or lifting, or run off the glass.");
  add(has(reasons, "thing_too_large"),
      "Record anew while dragging something small, such as a home-screen icon.");
  add(has(reasons, "nothing_judged"),
      "Correct the profile: its rim and mask leave nothing of the panel to judge.");
  if (steps.empty())
    add(true, open ? "Close the device, then sweep once more: closing can pinch a flex."
                   : "Hand back, or close up and file this result with the job.");
  return steps;
}

std::vector<std::string> cautions_for(const std::vector<Reason>& reasons) {
  const bool opens =
      std::any_of(std::begin(opening), std::end(opening), [&](const char* id) { return has(reasons, id); });
  if (!opens) return {};
  return {
      "Power the device off and unplug it before it is opened.",
      "Wear eye protection where glass is broken or may break, and drag no bare finger over a crack: "
      "cover it with clear film.",
      "Never pry, bend, crush or heat a lithium cell; stop if it bulges, hisses, smokes or grows hot.",
      "Work on a grounded bench with a wrist strap; never wear one on live mains.",
      "Hot tools for adhesive burn: keep heat off the cell and off hands.",
      "Local codes and licensed practice come first.",
  };
}

std::vector<std::string> not_tested(const Findings& findings) {
  std::vector<std::string> list = {
      "absolute position (touches may land beside the finger)",
      "force and pressure",
      "the display under the glass",
  };
  if (findings.recording) {
    if (findings.recording->finger_within_mm > 0)
      list.push_back(
          format("where on the dragged thing the finger was: up to %.1f mm off, the same way within a grab; "
                 "a strip of that width along the sides is not judged",
                 findings.recording->finger_within_mm));
    list.push_back(
        "losses of contact shorter than one frame of the recording, contact size, jitter and report rate");
  }
  if (findings.most_contacts < 2)
    list.push_back(findings.recording && findings.recording->finger_within_mm > 0
                       ? "other fingers than the one that dragged"
                       : "more than one finger at a time");
  if (findings.coverage.masked_mm2 > 0)
    list.push_back(format("%.0f square mm left out by the rim and the mask", findings.coverage.masked_mm2));
  if (findings.out_of_reach_mm > 0)
    list.push_back(
        format("strips up to %.1f mm wide that the page could not reach", findings.out_of_reach_mm));
  if (findings.pen_only) list.push_back("the finger layer: this log shows a pen only");
  return list;
}

std::string customer_sentence(Outcome outcome, const Findings& findings) {
  const char* layer = findings.pen_only ? "pen" : "touch";
  switch (outcome) {
    case Outcome::pass:
      return format(
          "We dragged over the whole %s surface of your device and it answered everywhere we test: no spot "
          "wider than %.1f mm was left out.",
          layer, rounded_up(findings.coverage.largest_untested.diameter_mm, 10));
    case Outcome::fail:
      return format(
          "The %s surface of your device does not work as it should; we see to it before you get the device "
          "back.",
          layer);
    case Outcome::resweep:
      break;
  }
  return format(
      "The %s test of your device is not finished: some places have to be tested again before we can vouch "
      "for it.",
      layer);
}

}  // namespace paneproof
