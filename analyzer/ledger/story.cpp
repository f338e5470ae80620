#include "analyzer/ledger/story.hpp"

#include <algorithm>

#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/evidence/jws.hpp"
#include "analyzer/ledger/bench_checks.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

// One fault in two sweeps: the zones share a third or more of the smaller one. Bursts have no place.
bool same_fault(const DeadZone& a, const DeadZone& b) {
  if (a.kind == ZoneKind::bursts || b.kind == ZoneKind::bursts) return a.kind == b.kind;
  const double across = std::min(a.x_mm + a.width_mm, b.x_mm + b.width_mm) - std::max(a.x_mm, b.x_mm);
  const double down = std::min(a.y_mm + a.height_mm, b.y_mm + b.height_mm) - std::max(a.y_mm, b.y_mm);
  const double smaller = std::min(a.width_mm * a.height_mm, b.width_mm * b.height_mm);
  return across > 0 && down > 0 && across * down >= smaller / 3;
}

bool shows(const StageResult& stage, const DeadZone& zone) {
  const auto& zones = stage.answer.findings.dead_zones;
  return std::any_of(zones.begin(), zones.end(), [&](const DeadZone& z) { return same_fault(z, zone); });
}

std::string closing_advice(const DeadZone& zone) {
  if (zone.kind == ZoneKind::edge_band)
    return "; between open and closed, frame pressure on that edge is the first thing to look at";
  if (zone.kind == ZoneKind::line || zone.kind == ZoneKind::partial_line || zone.kind == ZoneKind::bursts)
    return "; between open and closed, a pinched flex or a connector that lifted is the first thing to look "
           "at";
  return "; between open and closed, something pressing on the glass from inside is the first thing to look "
         "at";
}

}  // namespace

std::vector<StageResult> stages_of(const Ledger& ledger, const std::string& job) {
  std::vector<StageResult> stages;
  for (const Entry& entry : ledger.entries()) {
    const auto leaf = strict_json(entry.leaf, ledger.file());
    if (leaf.value("kind", "") != "evidence" || leaf.value("job", "") != job || entry.statement.empty())
      continue;
    const Statement s =
        statement_of(open_jws(entry.statement, evidence_type, ledger.file()).payload, ledger.file());
    StageResult stage{s.stage, s.verdict, s.stated_time, entry.number, s.question, {}, s.bench_checks};
    std::vector<Part> traces;
    for (const PartFacts& facts : s.parts) {
      const auto bytes = ledger.part(facts.sha256);
      if (!bytes) break;
      if (facts.name.starts_with("trace")) traces.push_back({facts.name, *bytes});
      if (facts.name == "limits.txt") stage.question.limits_text = *bytes;
    }
    stage.answer = answer(traces, stage.question);
    stages.push_back(std::move(stage));
  }
  return stages;
}

bool comparable(const StageResult& a, const StageResult& b) {
  const Grid &of_a = a.answer.findings.grid, &of_b = b.answer.findings.grid;
  return of_a.columns == of_b.columns && of_a.rows == of_b.rows && of_a.cell_mm == of_b.cell_mm;
}

std::vector<std::string> changes(const std::vector<StageResult>& stages, std::size_t at) {
  std::vector<std::string> told;
  const StageResult& now = stages[at];
  if (at > 0 && !comparable(stages[at - 1], now))
    return {"not compared: the panel is " + panel_size(now.answer.findings) + " here and " +
            panel_size(stages[at - 1].answer.findings) + " at " + stages[at - 1].stage +
            "; are both sweeps of this job?"};
  for (const DeadZone& zone : now.answer.findings.dead_zones) {
    if (at == 0) {
      told.push_back("there from the first sweep on record: " + described(zone));
      continue;
    }
    const StageResult& before = stages[at - 1];
    const bool earlier =
        std::any_of(stages.begin(), stages.begin() + static_cast<std::ptrdiff_t>(at - 1),
                    [&](const StageResult& s) { return comparable(s, now) && shows(s, zone); });
    if (shows(before, zone))
      told.push_back("still there: " + described(zone));
    else if (earlier)
      told.push_back("came back: " + described(zone));
    else
      told.push_back("new since " + before.stage + ": " + described(zone) +
                     (before.stage == "open" && now.stage == "closed" ? closing_advice(zone) : ""));
  }
  if (at > 0)
    for (const DeadZone& zone : stages[at - 1].answer.findings.dead_zones)
      if (!shows(now, zone))
        told.push_back(
            "no longer found: " + described(zone) +
            (now.verdict == "pass" ? "" : " (this sweep is no pass: it may not have been tested)"));
  return told;
}

}  // namespace paneproof
