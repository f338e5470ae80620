#include "analyzer/evidence/sheet_words.hpp"

#include <algorithm>
#include <charconv>

#include "analyzer/evidence/key.hpp"
#include "analyzer/report/fault_marks.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

constexpr std::size_t most_listed = 24;

std::string or_not_told(const std::string& text) { return text.empty() ? "not told" : presentable(text); }

std::string number(double value) {
  char text[32];
  return {text, std::to_chars(text, text + sizeof text, value).ptr};
}

// A count and a share stand for themselves.
std::string unit_words(const std::string& unit) {
  return unit == "count" || unit == "share" ? "" : " " + unit;
}

std::string origin_words(const std::string& origin) {
  if (origin == "live") return "live: taken from the device as it was swept";
  if (origin == "recording") return "from a recording of the screen";
  return origin;
}

std::string stage_words(const std::string& stage) {
  if (stage == "open") return "open (before closing)";
  if (stage == "closed") return "closed (after closing)";
  return stage;
}

SheetBlock findings_block(const CheckResult& result) {
  SheetBlock block{"Findings", {}, {}};
  for (const Figure& figure : key_figures(result.findings))
    block.facts.emplace_back(figure.label, figure.value);
  const auto& zones = result.findings.dead_zones;
  for (std::size_t i = 0; i < std::min(zones.size(), most_listed); ++i)
    block.lines.push_back("Dead zone " + zone_letter(i) + ": " + described(zones[i]));
  if (zones.size() > most_listed)
    block.lines.push_back("and " + std::to_string(zones.size() - most_listed) +
                          " more dead zones, in result.json");
  return block;
}

SheetBlock listed(const char* heading, const std::vector<std::string>& lines) {
  SheetBlock block{heading, {}, {}};
  for (const std::string& line : lines) block.lines.push_back(presentable(line));
  return block;
}

SheetBlock checks_block(const Statement& statement) {
  SheetBlock block{"Other bench checks", {}, {}};
  for (const auto& [name, state] : statement.bench_checks)
    block.facts.emplace_back(presentable(name), presentable(state));
  return block;
}

SheetBlock limits_block(const CheckResult& result) {
  SheetBlock block{"Limits used", {}, {}};
  for (const LimitLine& limit : result.limits)
    block.facts.emplace_back(limit.name, number(limit.value) + unit_words(limit.unit));
  return block;
}

std::string recording_words(const CutFacts& cut, const SourceFacts& sweep) {
  return cut.part +
         ": the path that was followed in a recording of the screen, frame by frame. The recording is not "
         "attached; its SHA-256 is " +
         presentable(sweep.sha256) +
         ". That the path is the one in the recording is the bench's word: keep the recording";
}

std::string cut_words(const CutFacts& cut) {
  if (cut.chosen_by == "nobody") return cut.part + ": the whole log as handed in; nothing was left out";
  return cut.part + ": the log's own lines of the sweep; " + std::to_string(cut.lines_before) +
         " lines before it and " + std::to_string(cut.lines_after) + " after it were left out, " +
         (cut.chosen_by == "operator" ? "as the operator said" : "as other touches, found by the program");
}

SheetBlock basis_block(const CheckResult& result, const Statement& statement) {
  SheetBlock block{"What it rests on", {}, {}};
  const Question& question = statement.question;
  std::string conditions;
  for (const Condition condition : question.conditions)
    conditions += (conditions.empty() ? "" : ", ") + std::string(word(condition));
  block.facts.emplace_back(
      "panel size", panel_size(result.findings) + ", from " + presentable(result.trace.panel.size_origin));
  if (question.axes) block.facts.emplace_back("axis ranges", "from " + or_not_told(question.axes->origin));
  if (question.panel.range_x)
    block.facts.emplace_back("range told",
                             number(*question.panel.range_x) + " x " + number(*question.panel.range_y));
  block.facts.emplace_back("turned by", std::to_string(question.panel.rotate_deg) + " degrees");
  block.facts.emplace_back("conditions", conditions.empty() ? "none told" : conditions);
  block.facts.emplace_back(
      "swept all", question.swept_all ? "the operator states that the finger went everywhere" : "not stated");
  if (question.reference)
    block.facts.emplace_back("measured against",
                             "a sweep of a known-good panel; its figures are in the statement");
  block.facts.emplace_back("trace", origin_words(statement.origin));
  for (const SourceFacts& sweep : result.trace.sweeps)
    block.lines.push_back(presentable(sweep.file) + ": " + called_format(sweep.format) +
                          (sweep.device.empty() ? "" : ", " + presentable(sweep.device)) + ", " +
                          std::to_string(sweep.events) + " events, " +
                          fixed(static_cast<double>(sweep.duration_us) / 1e6, 1) + " s");
  for (std::size_t i = 0; i < statement.cuts.size() && i < result.trace.sweeps.size(); ++i) {
    const SourceFacts& sweep = result.trace.sweeps[i];
    block.lines.push_back(sweep.recording ? recording_words(statement.cuts[i], sweep)
                                          : cut_words(statement.cuts[i]));
  }
  for (const Note& note : result.notes) block.lines.push_back("Note: " + presentable(note.text));
  return block;
}

SheetBlock meaning_block() {
  return {
      "What this evidence does and does not prove",
      {},
      {"The attached log gives exactly this result: paneproof verify analyses it again, compares every "
       "number, and draws these pages again.",
       "The signature shows that whoever holds the named key vouched for it, and that no byte changed since.",
       "The ledger's state named in the statement binds it to what the bench had recorded before; the "
       "ledger's own audit shows whether this entry stands.",
       "It does not prove that the log comes from this device, nor that the stated time, names and bench "
       "checks are true: those are the bench's word.",
       "It does not prove anything that is listed as not tested."}};
}

SheetBlock files_block(const Statement& statement) {
  SheetBlock block{"Attached files", {}, {}};
  for (const PartFacts& part : statement.parts)
    if (part.name != "result.json")
      block.facts.emplace_back(part.name, std::to_string(part.size) + " bytes, SHA-256 " + part.sha256);
  block.facts.emplace_back("result.json", "the result for other programs");
  block.facts.emplace_back("statement.jws", "the signed statement, with the digests of all");
  block.facts.emplace_back("signed by key", PublicKey::from_jwk(statement.key, "statement").thumbprint());
  block.facts.emplace_back("program", "paneproof " + statement.version);
  return block;
}

// "2026-11-28T04:35:58+00:00" as people read it, and where a narrow column may part it.
std::string time_words(const std::string& stated) {
  if (stated.size() != 25 || stated[10] != 'T') return presentable(stated);
  const std::string zone = stated.substr(19);
  return presentable(stated.substr(0, 10) + ' ' + stated.substr(11, 8) + ' ' +
                     (zone == "+00:00" ? "UTC" : zone));
}

}  // namespace

std::vector<std::pair<std::string, std::string>> job_facts(const CheckResult& result, const Statement& s) {
  std::string device;
  for (const SourceFacts& sweep : result.trace.sweeps)
    if (device.empty()) device = sweep.recording ? "none: a recording of the screen" : sweep.device;
  return {{"Job", presentable(s.job)},          {"Stage", stage_words(s.stage)},
          {"Device", or_not_told(s.device_id)}, {"Part lot", or_not_told(s.part_lot)},
          {"Tested by", or_not_told(s.by)},     {"Stated time", time_words(s.stated_time)},
          {"Touch device", or_not_told(device)}};
}

std::vector<SheetBlock> sheet_blocks(const CheckResult& result, const Statement& statement) {
  std::vector<SheetBlock> blocks = {findings_block(result),
                                    listed("Next steps", result.verdict.next_steps),
                                    listed("Cautions", result.verdict.cautions),
                                    checks_block(statement),
                                    basis_block(result, statement),
                                    limits_block(result),
                                    listed("Not tested", result.verdict.not_tested),
                                    meaning_block(),
                                    files_block(statement)};
  std::erase_if(blocks, [](const SheetBlock& block) { return block.facts.empty() && block.lines.empty(); });
  return blocks;
}

std::string picture_words(const CheckResult& result) {
  const Coverage& c = result.findings.coverage;
  std::string words = "Map of the panel, " + panel_size(result.findings) + ", to scale: proven " +
                      percent_down(c.proven) + ", silent " + percent_some(c.silent) + ", intermittent " +
                      percent_some(c.intermittent) + ", unswept " + percent_some(c.unswept) +
                      " of the judged area.";
  const auto& zones = result.findings.dead_zones;
  for (std::size_t i = 0; i < std::min(zones.size(), most_listed); ++i)
    words += " Dead zone " + zone_letter(i) + ": " + described(zones[i]) + ".";
  return words;
}

}  // namespace paneproof
