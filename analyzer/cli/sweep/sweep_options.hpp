// What the command line of paneproof sweep says, checked.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analyzer/cli/evidence_check.hpp"
#include "analyzer/cli/options.hpp"
#include "analyzer/verdict/limits.hpp"
#include "analyzer/verdict/verdict.hpp"

namespace paneproof {

struct SweepOptions {
  std::string job, stage = "closed";
  PanelOptions panel;
  std::string limits, keep, json, heatmap;
  std::vector<std::string> conditions;
  int port = 0;
  bool lan = false, tls = false;
  std::optional<std::string> adb;  // serial, or "" for the only device
  std::string device;              // --device: a node of this machine
  EvidenceOptions evidence;        // its job and stage are the sweep's
  bool wired() const { return adb || !device.empty(); }
};

void add_sweep_options(CLI::App& app, SweepOptions& options);

// Throws InputError (64) for what does not go together or is out of bounds; gives the log a name.
void settle(SweepOptions& options);

}  // namespace paneproof
