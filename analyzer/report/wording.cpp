#include "analyzer/report/wording.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>

#include "analyzer/measure/length.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

std::string mm(double value) { return fixed(value, 1) + " mm"; }

std::string counted(long long count, const char* one, const char* many) {
  return std::to_string(count) + " " + (count == 1 ? one : many);
}

std::string dropouts_value(const Findings& findings) {
  double longest_s = 0, widest_mm = 0;
  int missed = 0;
  for (const Dropout& dropout : findings.dropouts) {
    if (std::isfinite(dropout.gap_s)) longest_s = std::max(longest_s, dropout.gap_s);
    if (std::isfinite(dropout.gap_mm)) widest_mm = std::max(widest_mm, dropout.gap_mm);
    missed += dropout.missed;
  }
  if (findings.dropouts.empty()) return "none";
  if (widest_mm == 0 && longest_s == 0)
    return std::to_string(findings.dropouts.size()) + ", not picked up again";
  return std::to_string(findings.dropouts.size()) + ", up to " + mm(widest_mm) + ", " + fixed(longest_s, 3) +
         " s; " + counted(missed, "report", "reports") + " missed";
}

std::string jitter_value(const Jitter& jitter) {
  if (jitter.reports == 0) return "too few reports";
  std::string value = fixed(jitter.rms_mm, 3) + " mm RMS, " + fixed(jitter.p95_mm, 3) + " mm at 95 %";
  if (jitter.resting_rms_mm) value += "; resting " + fixed(*jitter.resting_rms_mm, 3) + " mm";
  return value;
}

std::string rate_value(const ReportRate& rate) {
  if (rate.rate_hz <= 0) return "too few intervals";
  std::string value = fixed(rate.rate_hz, 1) + " Hz";
  if (rate.limited_by_source) return value + " (as the recorder gave them)";
  return value + ", " + percent_some(rate.missed_share) + " missed";
}

std::string untested_value(const Circle& circle) {
  if (circle.diameter_mm <= 0) return "none";
  return untested_diameter(circle) + " at x " + fixed(circle.x_mm, 1) + ", y " + fixed(circle.y_mm, 1);
}

}  // namespace

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "-";
  char digits[400];
  const auto end =
      std::to_chars(digits, digits + sizeof digits, value, std::chars_format::fixed, decimals).ptr;
  std::string text(digits, end);
  const bool nothing = text.find_first_not_of("-0.") == std::string::npos;
  return nothing && text[0] == '-' ? text.substr(1) : text;
}

std::string percent_down(double share) { return fixed(std::floor(share * 1000.0 + 1e-6) / 10.0, 1) + " %"; }

std::string percent_some(double share) {
  const double percent = share * 100.0;
  return fixed(percent > 0 ? std::max(percent, 0.1) : percent, 1) + " %";
}

std::string panel_size(const Findings& findings) {
  return fixed(findings.panel_width_mm, 1) + " x " + fixed(findings.panel_height_mm, 1) + " mm";
}

std::string called(const DeadZone& zone) {
  const std::string line = zone.along == Along::row ? "row" : zone.along == Along::column ? "column" : "line";
  switch (zone.kind) {
    case ZoneKind::line:
      return line;
    case ZoneKind::partial_line:
      return "part of a " + line;
    case ZoneKind::area:
      return "area";
    case ZoneKind::edge_band:
      return "edge band";
    case ZoneKind::bursts:
      break;
  }
  return "losses all over";
}

std::string described(const DeadZone& zone) {
  if (zone.kind == ZoneKind::bursts)
    return "losses all over the panel: contact lost " + counted(zone.lost, "time", "times") + " in motion";
  std::string text = called(zone) + ", " + fixed(zone.width_mm, 1) + " x " + fixed(zone.height_mm, 1) +
                     " mm at x " + fixed(zone.x_mm, 1) + ", y " + fixed(zone.y_mm, 1);
  if (zone.attested) return text + "; untouched though the operator swept there";
  text += "; lost on " + std::to_string(zone.lost) + " of " + std::to_string(zone.passages) + " passages";
  return zone.intermittent ? text + ", comes and goes" : text;
}

std::string called_format(const std::string& id) {
  static constexpr std::pair<const char*, const char*> names[] = {{"pointer_jsonl", "Pointer Events"},
                                                                  {"libinput_record", "libinput record"},
                                                                  {"input_event", "raw input events"},
                                                                  {"csv", "CSV"},
                                                                  {"inkml", "InkML"}};
  for (const auto& [known, name] : names)
    if (id == known) return name;
  return id;
}

std::string untested_diameter(const Circle& circle) {
  return fixed(rounded_up(circle.diameter_mm, 100), 2) + " mm";
}

std::vector<Figure> key_figures(const Findings& findings) {
  const Coverage& coverage = findings.coverage;
  std::vector<Figure> figures = {
      {"proven", percent_down(coverage.proven) + " of the judged area"},
      {"untested circle", untested_value(coverage.largest_untested)},
      {"dead zones", findings.dead_zones.empty() ? "none" : std::to_string(findings.dead_zones.size())},
      {"dropouts", dropouts_value(findings)},
      {"jitter", jitter_value(findings.jitter)},
  };
  if (findings.jitter.linearity_mm)
    figures.push_back({"linearity", fixed(*findings.jitter.linearity_mm, 3) + " mm"});
  figures.push_back({"report rate", rate_value(findings.rate)});
  figures.push_back(
      {"ghost touches", findings.ghosts.empty() ? "none" : std::to_string(findings.ghosts.size())});
  if (findings.recording)
    figures.push_back({"followed", percent_down(findings.recording->followed_held) +
                                       " of the frames while held, to " +
                                       fixed(findings.recording->position_sd_mm, 3) + " mm (one axis)"});
  if (!findings.jumps.empty()) figures.push_back({"position jumps", std::to_string(findings.jumps.size())});
  if (!findings.doubts.empty())
    figures.push_back(
        {"in doubt", counted(static_cast<long long>(findings.doubts.size()), "place", "places")});
  if (!findings.cleared.empty())
    figures.push_back(
        {"cleared", counted(static_cast<long long>(findings.cleared.size()), "doubt", "doubts") +
                        ": reported there by other passages"});
  figures.push_back({"most fingers", std::to_string(findings.most_contacts)});
  figures.push_back({"speed", fixed(findings.quality.speed_median_mm_s, 0) + " mm/s; up to " +
                                  fixed(findings.quality.fastest_useful_mm_s, 0) + " is useful"});
  return figures;
}

bool asks(const Note& note) { return note.id == "size_in_doubt" || note.id == "other_device"; }

std::string shouted(Outcome outcome) {
  switch (outcome) {
    case Outcome::pass:
      return "PASS";
    case Outcome::fail:
      return "FAIL";
    case Outcome::resweep:
      break;
  }
  return "RESWEEP";
}

std::string presentable(std::string_view text) {
  const std::string shown = printable(text, text.size() * 4 + 16);
  std::string kept;
  kept.reserve(shown.size());
  for (std::size_t i = 0; i < shown.size(); ++i) {
    // U+FFFE and U+FFFF (EF BF BE, EF BF BF) are valid UTF-8 but no XML characters.
    if (shown.compare(i, 2, "\xEF\xBF") == 0 && i + 2 < shown.size() &&
        static_cast<unsigned char>(shown[i + 2]) >= 0xBE) {
      kept += "\xEF\xBF\xBD";
      i += 2;
    } else {
      kept += shown[i];
    }
  }
  return kept;
}

}  // namespace paneproof
