#include "analyzer/report/json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

namespace paneproof {
namespace {

using Json = nlohmann::ordered_json;

// The decimals of every printed number, by its unit. The schema says the same.
Json rounded_to(double value, double steps) {
  if (!std::isfinite(value)) return nullptr;
  return std::round(value * steps) / steps + 0.0;  // + 0.0: no "-0.0"
}
Json mm(double value) { return rounded_to(value, 1e3); }
Json seconds(double value) { return rounded_to(value, 1e6); }
Json share(double value) { return rounded_to(value, 1e4); }
Json hertz(double value) { return rounded_to(value, 1e1); }
Json mm_per_s(double value) { return rounded_to(value, 1e1); }
Json square_mm(double value) { return rounded_to(value, 1e2); }
Json setting(double value) { return rounded_to(value, 1e6); }

Json optional_mm(const std::optional<double>& value) { return value ? mm(*value) : Json(nullptr); }
Json point(const Point& p) { return {{"x_mm", mm(p.x_mm)}, {"y_mm", mm(p.y_mm)}}; }

template <typename Items, typename Make>
Json list(const Items& items, Make make) {
  Json all = Json::array();
  for (const auto& item : items) all.push_back(make(item));
  return all;
}

Json reason_json(const Reason& r) { return {{"id", r.id}, {"text", r.text}, {"weight", word(r.weight)}}; }

Json mask_json(const MaskShape& m) {
  const bool circle = m.kind == MaskShape::Kind::circle;
  return {{"kind", circle ? "circle" : "rectangle"},
          {"name", m.name},
          {"x_mm", mm(m.x_mm)},
          {"y_mm", mm(m.y_mm)},
          {"width_mm", mm(m.width_mm)},
          {"height_mm", mm(m.height_mm)}};
}

Json panel_json(const Findings& f, const Panel& panel) {
  return {{"width_mm", mm(f.panel_width_mm)},
          {"height_mm", mm(f.panel_height_mm)},
          {"size_origin", panel.size_origin},
          {"rim_mm", mm(f.rim_mm)},
          {"corner_radius_mm", mm(panel.corner_radius_mm)},
          {"mask", list(panel.mask, mask_json)}};
}

Json grid_json(const Grid& grid) {
  Json cells = Json::array(), masked = Json::array();
  for (int row = 0; row < grid.rows; ++row) {
    Json states = Json::array(), covers = Json::array();
    for (int column = 0; column < grid.columns; ++column) {
      states.push_back(word(grid.at(column, row)));
      const std::size_t index = static_cast<std::size_t>(row) * grid.columns + column;
      covers.push_back(index < grid.masked.size() && grid.masked[index] != 0);
    }
    cells.push_back(std::move(states));
    masked.push_back(std::move(covers));
  }
  return {{"columns", grid.columns},
          {"rows", grid.rows},
          {"cell_mm", mm(grid.cell_mm)},
          {"cells", std::move(cells)},
          {"masked", std::move(masked)}};
}

Json coverage_json(const Coverage& c) {
  const Circle& circle = c.largest_untested;
  return {{"proven", share(c.proven)},
          {"silent", share(c.silent)},
          {"intermittent", share(c.intermittent)},
          {"unswept", share(c.unswept)},
          {"largest_untested_circle",
           {{"x_mm", mm(circle.x_mm)}, {"y_mm", mm(circle.y_mm)}, {"diameter_mm", mm(circle.diameter_mm)}}},
          {"judged_mm2", square_mm(c.judged_mm2)},
          {"masked_mm2", square_mm(c.masked_mm2)}};
}

const char* along_word(Along along) {
  return along == Along::row ? "row" : along == Along::column ? "column" : "none";
}

Json zone_json(const DeadZone& z) {
  return {{"kind", word(z.kind)},   {"along", along_word(z.along)},     {"x_mm", mm(z.x_mm)},
          {"y_mm", mm(z.y_mm)},     {"width_mm", mm(z.width_mm)},       {"height_mm", mm(z.height_mm)},
          {"lost", z.lost},         {"passages", z.passages},           {"intermittent", z.intermittent},
          {"attested", z.attested}, {"confidence", share(z.confidence)}};
}

Json dropout_json(const Dropout& d) {
  return {{"sweep", d.sweep},
          {"t_s", seconds(d.t_s)},
          {"gap_s", seconds(d.gap_s)},
          {"x_mm", mm(d.x_mm)},
          {"y_mm", mm(d.y_mm)},
          {"gap_mm", mm(d.gap_mm)},
          {"regained", point(d.regained)},
          {"missed", d.missed},
          {"lost", d.lost},
          {"passages", d.passages},
          {"same_contact", d.same_contact},
          {"confidence", share(d.confidence)}};
}

Json doubt_json(const Doubt& d) {
  return {{"id", d.id},
          {"sweep", d.sweep},
          {"t_s", seconds(d.t_s)},
          {"gap_s", seconds(d.gap_s)},
          {"from", point(d.from)},
          {"to", point(d.to)}};
}

Json ghost_json(const Ghost& g) {
  return {{"sweep", g.sweep}, {"t_s", seconds(g.t_s)}, {"x_mm", mm(g.x_mm)}, {"y_mm", mm(g.y_mm)}};
}

Json jump_json(const Jump& j) {
  return {{"sweep", j.sweep}, {"t_s", seconds(j.t_s)}, {"from", point(j.from)}, {"to", point(j.to)}};
}

Json jitter_json(const Jitter& j) {
  return {{"rms_mm", mm(j.rms_mm)},
          {"p95_mm", mm(j.p95_mm)},
          {"resting_rms_mm", optional_mm(j.resting_rms_mm)},
          {"linearity_mm", optional_mm(j.linearity_mm)},
          {"reports", j.reports}};
}

Json intervals_json(const ReportRate& r) {
  return {{"count", r.intervals},
          {"median_s", seconds(r.interval_median_s)},
          {"p05_s", seconds(r.interval_p05_s)},
          {"p95_s", seconds(r.interval_p95_s)},
          {"missed_share", share(r.missed_share)},
          {"limited_by_source", r.limited_by_source}};
}

Json edges_json(const EdgeDepth& e) {
  return {{"left_mm", mm(e.left_mm)},
          {"right_mm", mm(e.right_mm)},
          {"top_mm", mm(e.top_mm)},
          {"bottom_mm", mm(e.bottom_mm)}};
}

Json reference_json(const Reference& r) {
  return {{"edges", edges_json(r.edges)},
          {"jitter_rms_mm", mm(r.jitter_rms_mm)},
          {"report_rate_hz", hertz(r.rate_hz)}};
}

Json recording_json(const RecordingFound& r) {
  return {{"frames", r.frames},
          {"duration_s", seconds(r.duration_s)},
          {"followed", share(r.followed)},
          {"followed_held", share(r.followed_held)},
          {"position_sd_mm", rounded_to(r.position_sd_mm, 1e4)},
          {"finger_within_mm", mm(r.finger_within_mm)}};
}

Json quality_json(const Findings& f) {
  const SweepQuality& q = f.quality;
  const auto stroke = [](const StrokeLeft& s) { return Json{{"from", point(s.from)}, {"to", point(s.to)}}; };
  return {{"duration_s", seconds(q.duration_s)},
          {"contact_share", share(q.contact_share)},
          {"speed_median_mm_s", mm_per_s(q.speed_median_mm_s)},
          {"speed_p95_mm_s", mm_per_s(q.speed_p95_mm_s)},
          {"fastest_useful_mm_s", mm_per_s(q.fastest_useful_mm_s)},
          {"contacts", f.contacts},
          {"most_contacts", f.most_contacts},
          {"reports", f.reports},
          {"pen_only", f.pen_only},
          {"strokes_left", list(q.left, stroke)}};
}

Json source_json(const SourceFacts& s) {
  return {{"file", s.file},
          {"format", s.format},
          {"sha256", s.sha256},
          {"device", s.device},
          {"events", s.events},
          {"duration_s", seconds(static_cast<double>(s.duration_us) / 1e6)},
          {"limited_by_source", s.limited_by_source}};
}

Json note_json(const Note& n) { return {{"id", n.id}, {"text", n.text}, {"count", n.count}}; }

Json limit_json(const LimitLine& l) {
  return {{"name", l.name}, {"value", setting(l.value)}, {"unit", l.unit}};
}

Json whole(const CheckResult& r) {
  const Findings& f = r.findings;
  Json json;
  json["verdict"] = word(r.verdict.outcome);
  json["reasons"] = list(r.verdict.reasons, reason_json);
  json["panel"] = panel_json(f, r.trace.panel);
  json["fingertip_mm"] = mm(f.fingertip_mm);
  json["coverage"] = coverage_json(f.coverage);
  json["dead_zones"] = list(f.dead_zones, zone_json);
  json["dropouts"] = list(f.dropouts, dropout_json);
  json["doubts"] = list(f.doubts, doubt_json);
  json["doubts_cleared"] = list(f.cleared, doubt_json);
  json["ghosts"] = list(f.ghosts, ghost_json);
  json["jumps"] = list(f.jumps, jump_json);
  json["jitter"] = jitter_json(f.jitter);
  json["report_rate_hz"] = hertz(f.rate.rate_hz);
  json["intervals"] = intervals_json(f.rate);
  json["edges"] = edges_json(f.edges);
  if (f.reference) json["reference"] = reference_json(*f.reference);
  if (f.recording) json["recording"] = recording_json(*f.recording);
  json["sweep"] = quality_json(f);
  json["next_steps"] = r.verdict.next_steps;
  json["cautions"] = r.verdict.cautions;
  json["not_tested"] = r.verdict.not_tested;
  json["customer"] = r.verdict.customer;
  json["conditions"] = list(r.conditions, [](Condition c) { return Json(word(c)); });
  json["swept_all"] = r.swept_all;
  json["notes"] = list(r.notes, note_json);
  json["limits"] = list(r.limits, limit_json);
  json["source"] = source_json(r.trace.sweeps.empty() ? SourceFacts{} : r.trace.sweeps.front());
  json["sources"] = list(r.trace.sweeps, source_json);
  json["version"] = r.version;
  json["grid"] = grid_json(f.grid);
  return json;
}

std::string compact(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace); }

bool holds_containers(const Json& json) {
  for (const auto& item : json)
    if (item.is_structured()) return true;
  return false;
}

// A container of plain values is one line (a row of cells, a dropout); any other has a line an item.
void write(std::string& out, const Json& json, std::size_t indent) {
  if (!json.is_structured() || json.empty() || !holds_containers(json)) {
    out += compact(json);
    return;
  }
  out += json.is_object() ? '{' : '[';
  bool first = true;
  for (auto item = json.begin(); item != json.end(); ++item) {
    out += first ? "\n" : ",\n";
    first = false;
    out.append(indent + 1, ' ');
    if (json.is_object()) out += compact(item.key()) + ": ";
    write(out, *item, indent + 1);
  }
  out += '\n';
  out.append(indent, ' ');
  out += json.is_object() ? '}' : ']';
}

}  // namespace

std::string json_text(const CheckResult& result) {
  std::string out;
  write(out, whole(result), 0);
  return out + '\n';
}

}  // namespace paneproof
