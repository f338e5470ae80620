// check --evidence: from the logs to the signed file and its entry.
#include "analyzer/desk/evidence_check.hpp"

#include <cstdio>
#include <filesystem>

#include "analyzer/cli/load.hpp"
#include "analyzer/cli/progress.hpp"
#include "analyzer/desk/desk.hpp"
#include "analyzer/desk/passphrase.hpp"
#include "analyzer/evidence/cut.hpp"
#include "analyzer/evidence/recorded_path.hpp"
#include "analyzer/ledger/bench_checks.hpp"
#include "analyzer/ledger/key_files.hpp"
#include "analyzer/ledger/record.hpp"
#include "capture/log/formats.hpp"
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
    if (origin.starts_with(kind))
      return kind + std::filesystem::path(origin.substr(std::string(kind).size())).filename().string();
  return origin;
}

// Axes from a file beside the log go into the statement as numbers.
std::optional<Axes> borrowed_axes(const EvidenceCheck& check, const std::string& file) {
  if (check.axes_file.empty() && axes_beside(file).empty()) return std::nullopt;
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
  Question question{check.panel,    {}, check.device, check.limits_text, check.conditions, check.reference,
                    check.swept_all};
  question.panel.size_origin = without_folders(question.panel.size_origin);
  for (const std::string& file : check.files)
    if (!question.axes && !is_media_file(file)) question.axes = borrowed_axes(check, file);
  return question;
}

// A file as it was handed in; of a recording, the path in it.
struct HandedIn {
  Part part;
  ReadPart read;
  bool recording = false;
};

Part path_part(const std::string& file, std::size_t index, const EvidenceCheck& check) {
  ProgressBar bar;
  LoadOptions load{check.panel, "", "", {}, true};
  load.watch.follow = check.follow;
  load.watch.progress = [&](double share) { bar.show(share); };
  Notes notes;
  const Recording recording = load_recording(file, load, notes);
  const std::string path = recorded_path(recording, notes);
  return {trace_name(index, path), path};
}

HandedIn take_in(const std::string& file, std::size_t index, const EvidenceCheck& check,
                 const Question& question) {
  if (file == "-")
    throw InputError("-", "", "expected a log in a file: evidence takes it in as it is", "save it first",
                     Exit::usage);
  HandedIn in;
  in.recording = is_media_file(file);
  if (in.recording) {
    in.part = path_part(file, index, check);
  } else {
    const std::string bytes = file_bytes(file, largest_log);
    in.part = {trace_name(index, bytes), bytes};
  }
  try {
    in.read = read_part(in.part, question);
  } catch (const InputError& error) {
    throw InputError(file, error.place, error.expected, error.remedy, error.exit);
  }
  return in;
}

// The traces as they go into the evidence, and what they give.
struct Chosen {
  std::vector<Part> traces;
  std::vector<CutFacts> cuts;
  Answer made;
  bool found = false;  // something was left out, and by the program
};

Chosen choose(const std::vector<HandedIn>& whole, const EvidenceCheck& check, const EvidenceOptions& options,
              const Question& question, CutDepth depth) {
  Chosen chosen;
  std::vector<ReadPart> read;
  for (std::size_t i = 0; i < whole.size(); ++i) {
    Cut cut = whole[i].recording || (check.sweep_only && !options.from_s && !options.to_s)
                  ? Cut{whole[i].part, {whole[i].part.name, "nobody", 0, 0}, whole[i].read}
                  : cut_to_sweep(whole[i].part, whole[i].read, question, options.from_s, options.to_s, depth);
    cut.part.name = cut.facts.part = cut.read.trace.sweeps.front().file = trace_name(i, cut.part.bytes);
    chosen.found |= cut.facts.chosen_by == "program";
    chosen.traces.push_back(std::move(cut.part));
    chosen.cuts.push_back(cut.facts);
    read.push_back(std::move(cut.read));
  }
  chosen.made = answer(std::move(read), question);
  return chosen;
}

// The most that may be left out without another verdict than that of the whole.
Chosen choose(const std::vector<HandedIn>& whole, const EvidenceCheck& check, const EvidenceOptions& options,
              const Question& question) {
  Chosen chosen = choose(whole, check, options, question, CutDepth::both_ends);
  if (!chosen.found) return chosen;
  std::vector<ReadPart> read;
  for (const HandedIn& in : whole) read.push_back(in.read);
  const Outcome was = answer(std::move(read), question).verdict.outcome;
  if (chosen.made.verdict.outcome != was) chosen = choose(whole, check, options, question, CutDepth::start);
  const Outcome now = chosen.made.verdict.outcome;
  if (was == now || !chosen.found) return chosen;
  throw InputError("", "--evidence",
                   std::string("the whole log is judged ") + word(was) +
                       ", but the sweep found in it alone " + word(now) +
                       ": nothing of a fault may go unsaid",
                   "say what is the sweep with --from and --to; --from 0 hands in all of it");
}

// Whoever handed in a log knows it by its own name, not by the one that it has within the evidence.
Chosen choose_by_name(const std::vector<HandedIn>& whole, const EvidenceCheck& check,
                      const EvidenceOptions& options, const Question& question) {
  try {
    return choose(whole, check, options, question);
  } catch (const InputError& error) {
    for (std::size_t i = 0; i < check.files.size(); ++i)
      if (error.file.starts_with("trace-" + std::to_string(i + 1) + "."))
        throw InputError(check.files[i], error.place, error.expected, error.remedy, error.exit);
    throw;
  }
}

}  // namespace

SigningKey evidence_key(const EvidenceOptions& options) {
  check_names(options);
  return load_key(key_file(options.key_file),
                  [&] { return ask_passphrase(options.passphrase_file, key_file(options.key_file), false); });
}

int check_with_evidence(const EvidenceCheck& check, const EvidenceOptions& options,
                        const std::function<int(const CheckResult&)>& report) {
  return check_with_evidence(check, options, evidence_key(options), report);
}

int check_with_evidence(const EvidenceCheck& check, const EvidenceOptions& options, const SigningKey& key,
                        const std::function<int(const CheckResult&)>& report) {
  const Question question = question_of(check);
  std::vector<HandedIn> whole;
  bool recording = false;
  for (std::size_t i = 0; i < check.files.size(); ++i) {
    whole.push_back(take_in(check.files[i], i, check, question));
    recording |= whole.back().recording;
  }
  if (recording && (options.from_s || options.to_s))
    throw InputError("", "--from, --to", "expected them with a log: of a recording the whole path goes in",
                     "", Exit::usage);
  const Chosen chosen = choose_by_name(whole, check, options, question);
  Ledger ledger(ledger_file(options.ledger), Ledger::Mode::write);
  const BenchWords words{options.job,
                         options.stage,
                         options.device_id,
                         options.part_lot,
                         options.by,
                         options.paper,
                         recording    ? "recording"
                         : check.live ? "live"
                                      : "handed in",
                         checks_at(ledger, options.job, options.stage)};
  Evidence evidence =
      make_evidence(chosen.made, question, chosen.traces, chosen.cuts, words, key.public_key());
  const Recorded recorded = record_evidence(ledger, evidence, key, options.file);
  const int exit = report(result_of(chosen.made, question));
  for (const CutFacts& cut : chosen.cuts)
    if (cut.chosen_by != "nobody")
      std::fprintf(stderr, "left out of the evidence: %lld lines before the sweep and %lld after it\n",
                   static_cast<long long>(cut.lines_before), static_cast<long long>(cut.lines_after));
  for (const std::uint64_t number : recorded.seen_before)
    std::fprintf(stderr, "this trace is in the ledger already: entry %llu\n",
                 static_cast<unsigned long long>(number));
  std::fprintf(stderr, "recorded: entry %llu\n", static_cast<unsigned long long>(recorded.number));
  return exit;
}

}  // namespace paneproof
