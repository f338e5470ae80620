#include <cmath>

#include "analyzer/cli/evidence_check.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {

char** program_arguments = nullptr;

namespace {
constexpr const char* group = "Evidence";
}

void add_evidence_file_options(CLI::App& app, EvidenceOptions& options) {
  app.add_option("--evidence", options.file,
                 "write the signed evidence to this PDF and record it in the ledger")
      ->type_name("FILE")
      ->group(group);
  app.add_option("--device-id", options.device_id, "serial number or asset tag of the device")
      ->type_name("WORDS")
      ->group(group);
  app.add_option("--part-lot", options.part_lot, "lot of the part that was fitted")
      ->type_name("WORDS")
      ->group(group);
  app.add_option("--by", options.by, "who swept")->type_name("NAME")->group(group);
  app.add_option("--paper", options.paper, "paper of the page")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->group(group);
  app.add_option("--ledger", options.ledger, "ledger file, instead of the one in the data folder")
      ->type_name("FILE")
      ->group(group);
  app.add_option("--key-file", options.key_file, "private key, instead of the one in the data folder")
      ->type_name("FILE")
      ->group(group);
  app.add_option("--passphrase-file", options.passphrase_file, "file that holds the key's passphrase")
      ->type_name("FILE")
      ->group(group);
}

void add_evidence_options(CLI::App& app, EvidenceOptions& options) {
  add_evidence_file_options(app, options);
  app.add_option("--job", options.job, "job or work order that the evidence is for")
      ->type_name("JOB")
      ->group(group);
  app.add_option("--stage", options.stage, "intake, open (before closing), closed, or return")
      ->check(CLI::IsMember({"intake", "open", "closed", "return"}))
      ->group(group);
  app.add_option("--from", options.from_s,
                 "leave out of the evidence what landed before this second of the log")
      ->type_name("SECONDS")
      ->group(group);
  app.add_option("--to", options.to_s, "leave out of the evidence what ended after this second of the log")
      ->type_name("SECONDS")
      ->group(group);
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
