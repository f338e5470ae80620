#include "analyzer/cli/sweep/judging.hpp"

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "analyzer/cli/load.hpp"
#include "analyzer/cli/row_plan.hpp"
#include "analyzer/measure/aim.hpp"
#include "analyzer/measure/analysis.hpp"
#include "analyzer/report/heatmap.hpp"
#include "analyzer/report/json.hpp"
#include "analyzer/report/wording.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Json = nlohmann::ordered_json;

constexpr double usual_rate_hz = 120;  // reports a second, before any came

std::string cells_text(const Grid& grid) {
  std::string cells;
  for (std::size_t i = 0; i < grid.cells.size(); ++i) {
    if (i < grid.masked.size() && grid.masked[i]) {
      cells += ' ';
      continue;
    }
    switch (grid.cells[i]) {
      case CellState::proven:
        cells += '.';
        break;
      case CellState::silent:
        cells += '#';
        break;
      case CellState::intermittent:
        cells += '%';
        break;
      case CellState::unswept:
        cells += '?';
        break;
    }
  }
  return cells;
}

// Without decimals that say nothing.
std::string short_number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.10g", value);
  return text;
}

}  // namespace

Judging::Judging(const SweepOptions& options)
    : options_(options),
      panel_(panel_request(options.panel)),
      limits_text_(limits_text(options.limits)),
      limits_(options.limits.empty() ? default_limits() : parse_limits(limits_text_, options.limits)),
      conditions_(conditions_of(options.conditions)) {
  if (const auto size = panel_mm())
    for (const double mm : {size->first, size->second})
      if (!(mm >= 10 && mm <= 2000))
        throw InputError("", "--panel", "expected sides of 10 to 2000 mm", "measure the touch area",
                         Exit::usage);
}

std::optional<std::pair<double, double>> Judging::panel_mm() const {
  if (panel_.width_mm && panel_.height_mm) return std::pair(*panel_.width_mm, *panel_.height_mm);
  return std::nullopt;
}

std::optional<Judged> Judging::judge() const {
  Judged judged;
  const AnalysisOptions analysis = {limits_.fingertip_mm, limits_.cell_mm, limits_.edge_deeper_mm,
                                    std::nullopt, false};
  try {
    judged.trace = merge([&] {
      std::vector<Trace> one;
      one.push_back(load_sweep(options_.keep, {panel_, "", "", {}, !options_.json.empty()}, judged.notes));
      return one;
    }());
  } catch (const InputError&) {
    // Nothing whole yet: the panel as it stands before the first touch.
    const auto size = panel_mm();
    if (!size) return std::nullopt;
    judged.notes = {};
    judged.trace = {};
    judged.trace.panel = {size->first, size->second,      panel_.rim_mm, panel_.corner_radius_mm,
                          panel_.mask, panel_.size_origin};
    judged.trace.sweeps.emplace_back();
    judged.trace.sweeps.front().file = options_.keep;
  }
  for (const Contact& contact : judged.trace.contacts) judged.finger_down |= contact.ending == Ending::open;
  for (const SourceFacts& sweep : judged.trace.sweeps) judged.limited |= sweep.limited_by_source;
  judged.findings = analyse(judged.trace, analysis);
  judged.verdict = paneproof::judge(judged.findings, limits_, conditions_);
  return judged;
}

CheckResult Judging::result(const Judged& judged) const {
  return {judged.findings,      judged.verdict, judged.trace, judged.notes.all(),
          limit_lines(limits_), conditions_,    false,        PANEPROOF_VERSION};
}

EvidenceCheck Judging::question() const {
  EvidenceCheck check;
  check.files = {options_.keep};
  check.panel = panel_;
  check.limits_text = limits_text_;
  check.conditions = conditions_;
  check.live = true;
  check.sweep_only = !options_.wired();  // the page records on its glass alone, and only while it sweeps
  return check;
}

void Judging::write(const Judged& judged) const {
  const CheckResult checked = result(judged);
  if (!options_.heatmap.empty())
    write_file(options_.heatmap, std::filesystem::path(options_.heatmap).extension() == ".svg"
                                     ? heatmap_svg(checked)
                                     : heatmap_png(checked));
  if (!options_.json.empty()) write_file(options_.json, json_text(checked));
}

std::string Judging::map_json(const std::optional<Judged>& judged) const {
  Json map;
  map["job"] = options_.job;
  map["fingertip_mm"] = limits_.fingertip_mm;
  if (const auto size = panel_mm()) {
    map["width_mm"] = size->first;
    map["height_mm"] = size->second;
    const RowPlan plan = row_plan(size->first, size->second, usual_rate_hz, limits_.fingertip_mm);
    const double along = std::max(size->first, size->second);
    map["rows_words"] = std::to_string(plan.rows) + (plan.rows == 1 ? " long row" : " long rows, ") +
                        (plan.rows == 1 ? "" : short_number(plan.row_mm) + " mm apart");
    map["pace_words"] = "About " + time_words(along / plan.pace_mm_s) + " a row, " +
                        time_words(plan.seconds) + " in all; faster leaves gaps.";
  }
  if (judged) {
    const Grid& grid = judged->findings.grid;
    map["columns"] = grid.columns;
    map["rows"] = grid.rows;
    map["cell_mm"] = grid.cell_mm;
    map["cells"] = cells_text(grid);
    const auto left = std::count(grid.cells.begin(), grid.cells.end(), CellState::unswept);
    if (left > 0 && judged->findings.reports > 0) map["left_words"] = "Left: the filled squares.";
  }
  return map.dump(-1, ' ', true, Json::error_handler_t::replace);
}

std::string json_string(const std::string& words) {
  return Json(words).dump(-1, ' ', true, Json::error_handler_t::replace);
}

std::optional<std::string> aim_words(const std::string& points_json) {
  const Json given = Json::parse(points_json, nullptr, false);
  if (!given.is_array() || given.size() != 5) return std::nullopt;
  std::vector<AimTouch> touches;
  for (const Json& one : given) {
    if (!one.is_array() || one.size() != 4 ||
        !std::all_of(one.begin(), one.end(), [](const Json& v) { return v.is_number(); }))
      return std::nullopt;
    touches.push_back({{one[0], one[1]}, {one[2], one[3]}});
  }
  const Aim aim = aim_of(touches);
  if (aim.mirrored_x || aim.mirrored_y || aim.swapped)
    return std::string("Aim: the axes are ") +
           (aim.swapped                        ? "swapped"
            : aim.mirrored_x && aim.mirrored_y ? "both mirrored"
            : aim.mirrored_x                   ? "mirrored left to right"
                                               : "mirrored top to bottom") +
           "; check the panel's firmware and orientation.";
  char text[200];
  std::snprintf(
      text, sizeof text,
      "Aim at five marks: offset x %+.1f mm, y %+.1f mm; scale x %.3f, y %.3f; largest miss %.1f mm.",
      aim.offset_x_mm, aim.offset_y_mm, aim.scale_x, aim.scale_y, aim.largest_miss_mm);
  return text;
}

std::string Judging::verdict_json(const Judged& judged, int number) const {
  Json verdict;
  verdict["number"] = number;
  verdict["outcome"] = word(judged.verdict.outcome);
  for (const Reason& reason : judged.verdict.reasons) verdict["reasons"].push_back(reason.text);
  for (const Note& note : judged.notes.all())
    if (asks(note)) verdict["reasons"].push_back(note.text + ".");
  verdict["next_steps"] = judged.verdict.next_steps;
  verdict["cautions"] = judged.verdict.cautions;
  verdict["limited"] = judged.limited;
  return verdict.dump(-1, ' ', true, Json::error_handler_t::replace);
}

}  // namespace paneproof
