// `check --evidence`: what the command line gives, and the seam to the program that makes evidence.
//
// Fonts, the database and the page's libraries would slow every check down. So `paneproof` hands the whole
// command line over to `paneproof-evidence`, which lies beside it, where one of these is needed; that
// program is the same command line with the desk (analyzer/desk) built in.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "analyzer/report/check_result.hpp"
#include "capture/model/panel.hpp"

namespace paneproof {

struct EvidenceOptions {
  std::string file;  // --evidence; "" when none is asked for
  std::string job, stage, device_id, part_lot, by, paper = "a4";
  std::string ledger, key_file, passphrase_file;
  std::optional<double> from_s, to_s;
};

void add_evidence_options(CLI::App& app, EvidenceOptions& options);
// Without job, stage and the cut, which a live sweep has no need to be told.
void add_evidence_file_options(CLI::App& app, EvidenceOptions& options);
// Throws InputError (64): --evidence without --job, an evidence option without --evidence, ...
void refuse_evidence_combinations(const EvidenceOptions& options, std::size_t logs);

struct EvidenceCheck {
  std::vector<std::string> files;
  PanelRequest panel;
  std::string axes_file, device, limits_text;
  std::string follow;       // --follow, for recordings
  bool live = false;        // the log was taken from the device itself just now
  bool sweep_only = false;  // nothing but the sweep can be in it: it goes in whole
  std::vector<Condition> conditions;
  std::optional<Reference> reference;
  bool swept_all = false;
};

// In `paneproof`: becomes paneproof-evidence with the same arguments, or throws InputError (70) when it is
// not there. In paneproof-evidence: nothing.
void go_where_evidence_is_made();

// Judges what goes into the evidence (the cut logs), calls `report` with it, then records and writes.
// Gives what `report` gave.
int check_with_evidence(const EvidenceCheck& check, const EvidenceOptions& options,
                        const std::function<int(const CheckResult&)>& report);

// The arguments of this run, as main got them.
extern char** program_arguments;

}  // namespace paneproof
