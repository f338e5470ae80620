#include <cmath>

#include "analyzer/cli/evidence_check.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {

char** program_arguments = nullptr;

namespace {

constexpr const char* group = "Evidence";

template <class Value>
void add(CLI::App& app, const char* name, Value& value, const char* takes, const char* what) {
  app.add_option(name, value, what)->type_name(takes)->group(group);
}

}  // namespace

void add_evidence_file_options(CLI::App& app, EvidenceOptions& options) {
  add(app, "--evidence", options.file, "FILE",
      "write the signed evidence to this PDF and record it in the ledger");
  add(app, "--device-id", options.device_id, "WORDS", "serial number or asset tag of the device");
  add(app, "--part-lot", options.part_lot, "WORDS", "lot of the part that was fitted");
  add(app, "--by", options.by, "NAME", "who swept");
  app.add_option("--paper", options.paper, "paper of the page")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->group(group);
  add(app, "--ledger", options.ledger, "FILE", "ledger file, instead of the one in the data folder");
  add(app, "--key-file", options.key_file, "FILE", "private key, instead of the one in the data folder");
  add(app, "--passphrase-file", options.passphrase_file, "FILE", "file that holds the key's passphrase");
}

void add_evidence_options(CLI::App& app, EvidenceOptions& options) {
  add_evidence_file_options(app, options);
  add(app, "--job", options.job, "JOB", "job or work order that the evidence is for");
  app.add_option("--stage", options.stage, "intake, open (before closing), closed, or return")
      ->check(CLI::IsMember({"intake", "open", "closed", "return"}))
      ->group(group);
  add(app, "--from", options.from_s, "SECONDS",
      "leave out of the evidence what landed before this second of the log");
  add(app, "--to", options.to_s, "SECONDS",
      "leave out of the evidence what ended after this second of the log");
}

void refuse_evidence_combinations(const EvidenceOptions& options, std::size_t logs) {
  const auto refuse = [](const std::string& what, const std::string& expected) {
    throw InputError("", what, expected, "see paneproof check --help", Exit::usage);
  };
  if (options.file.empty()) {
    for (const auto& [name, text] : {std::pair{"--job", options.job},
                                     {"--stage", options.stage},
                                     {"--device-id", options.device_id},
                                     {"--part-lot", options.part_lot},
                                     {"--by", options.by}})
      if (!text.empty()) refuse(name, "expected it together with --evidence FILE.pdf");
    if (options.from_s || options.to_s)
      refuse(options.from_s ? "--from" : "--to", "expected it together with --evidence FILE.pdf");
    return;
  }
  if (options.job.empty())
    refuse("--evidence " + options.file, "expected --job as well: evidence is for a job");
  if (options.stage.empty())
    refuse("--evidence " + options.file, "expected --stage as well: intake, open, closed or return");
  if (options.file == "-") refuse("--evidence -", "expected a file: what is recorded must be there for good");
  if (!options.file.ends_with(".pdf"))
    refuse("--evidence " + options.file, "expected a name that ends in .pdf");
  for (const auto& [name, second] : {std::pair{"--from", options.from_s}, {"--to", options.to_s}})
    if (second && !(std::abs(*second) <= 1e9)) refuse(name, "expected a second of the log");  // NaN as well
  if ((options.from_s || options.to_s) && logs > 1) refuse("--from, --to", "expected them with one log");
}

}  // namespace paneproof
