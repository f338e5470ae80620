// check --evidence: from the logs to the signed file and its entry.
#include "analyzer/cli/evidence_check.hpp"

#include <cstdio>
#include <filesystem>

#include "analyzer/cli/load.hpp"
#include "analyzer/desk/desk.hpp"
#include "analyzer/desk/passphrase.hpp"
#include "analyzer/evidence/cut.hpp"
#include "analyzer/ledger/bench_checks.hpp"
#include "analyzer/ledger/key_files.hpp"
#include "analyzer/ledger/record.hpp"
#include "capture/model/input_error.hpp"
#include "capture/watch/media.hpp"

namespace paneproof {
namespace {

constexpr std::size_t largest_log = std::size_t{1} << 29;

void check_names(const EvidenceOptions& options) {
  check_name("--job", options.job, 64);
  if (!options.device_id.empty()) check_name("--device-id", options.device_id);
  if (!options.part_lot.empty()) check_name("--part-lot", options.part_lot);
  if (!options.by.empty()) check_name("--by", options.by);
}

// No folder of this machine goes into the evidence.
std::string without_folders(const std::string& origin) {
  for (const char* kind : {"profile ", "axes file "})
    if (origin.starts_with(kind)) return kind + std::filesystem::path(origin.substr(std::string(kind).size())).filename().string();
  return origin;
}

// Axes from a file beside the log go into the statement as numbers.
std::optional<Axes> borrowed_axes(const EvidenceCheck& check, const std::string& file) {
  LoadOptions load;
  load.axes_file = check.axes_file;
  load.device = check.device;
  Notes unused;
  Axes axes = load_recording(file, load, unused).axes;
  if (axes.origin.empty() || axes.origin == "log" || axes.origin == "--range") return std::nullopt;
  axes.origin = without_folders(axes.origin);
  return axes;
}

Question question_of(const EvidenceCheck& check) {
  Question question{check.panel, {}, check.device, check.limits_text, check.conditions, check.reference, check.swept_all};
  question.panel.size_origin = without_folders(question.panel.size_origin);
  for (const std::string& file : check.files)
    if (!question.axes) question.axes = borrowed_axes(check, file);
  return question;
}

void refuse_better_verdict(const std::vector<Part>& whole, const Question& question, const Answer& cut) {
  const Outcome was = answer(whole, question).verdict.outcome, now = cut.verdict.outcome;
  if (was == now || (was == Outcome::pass) || (now == Outcome::fail)) return;
  throw InputError("", "--evidence", std::string("the whole log is judged ") + word(was) + ", but the sweep found in it alone " + word(now) + ": nothing of a fault may go unsaid",
                   "say what is the sweep with --from and --to; --from 0 hands in all of it");
}

}  // namespace

int check_with_evidence(const EvidenceCheck& check, const EvidenceOptions& options, const std::function<int(const CheckResult&)>& report) {
  check_names(options);
  for (const std::string& file : check.files)
    if (is_media_file(file))
      throw InputError(file, "", "expected a touch log: evidence does not take recordings", "check it without --evidence", Exit::usage);
  const SigningKey key = load_key(key_file(options.key_file), [&] { return ask_passphrase(options.passphrase_file, key_file(options.key_file), false); });
  const Question question = question_of(check);
  std::vector<Part> whole, traces;
  std::vector<CutFacts> cuts;
  bool found = false;
  for (std::size_t i = 0; i < check.files.size(); ++i) {
    if (check.files[i] == "-") throw InputError("-", "", "expected a log in a file: evidence takes it in as it is", "save it first", Exit::usage);
    const std::string bytes = file_bytes(check.files[i], largest_log);
    whole.push_back({trace_name(i, bytes), bytes});
    Cut cut = cut_to_sweep(whole.back(), question, options.from_s, options.to_s);
    cut.part.name = cut.facts.part = trace_name(i, cut.part.bytes);
    found |= cut.facts.chosen_by == "program";
    traces.push_back(std::move(cut.part));
    cuts.push_back(cut.facts);
  }
  const Answer made = answer(traces, question);
  if (found) refuse_better_verdict(whole, question, made);
  Ledger ledger(ledger_file(options.ledger), Ledger::Mode::write);
  const BenchWords words{options.job, options.stage, options.device_id, options.part_lot, options.by, options.paper, "handed in", checks_at(ledger, options.job, options.stage)};
  Evidence evidence = make_evidence(made, question, traces, cuts, words, key.public_key());
  const Recorded recorded = record_evidence(ledger, evidence, key, options.file);
  const int exit = report(result_of(made, question));
  for (const CutFacts& cut : cuts)
    if (cut.chosen_by != "nobody")
      std::fprintf(stderr, "left out of the evidence: %lld lines before the sweep and %lld after it\n", static_cast<long long>(cut.lines_before), static_cast<long long>(cut.lines_after));
  for (const std::uint64_t number : recorded.seen_before) std::fprintf(stderr, "this trace is in the ledger already: entry %llu\n", static_cast<unsigned long long>(number));
  std::fprintf(stderr, "recorded: entry %llu\n", static_cast<unsigned long long>(recorded.number));
  return exit;
}

}  // namespace paneproof
