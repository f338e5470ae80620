#include "analyzer/cli/sweep/sweep_options.hpp"

#include <algorithm>
#include <filesystem>

#include "capture/bytes/apart.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

[[noreturn]] void refuse(const std::string& what, const std::string& expected) {
  throw InputError("", what, "expected " + expected, "see paneproof sweep --help", Exit::usage);
}

// A job's number becomes part of a file name.
bool good_job(const std::string& job) {
  const char* allowed = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.";
  return !job.empty() && job.size() <= 64 && job[0] != '.' &&
         job.find_first_not_of(allowed) == std::string::npos;
}

}  // namespace

void add_sweep_options(CLI::App& app, SweepOptions& options) {
  app.add_option("--job", options.job, "the job this sweep is for: WO-2207")->type_name("JOB")->required();
  add_panel_options(app, options.panel);
  app.add_option("--stage", options.stage, "when in the repair: before closing it is open")
      ->check(CLI::IsMember({"intake", "open", "closed", "return"}))
      ->capture_default_str();
  add_condition_option(app, options.conditions);
  app.add_option("--limits", options.limits, "limits file; docs/limits.txt explains each")->type_name("FILE");
  app.add_option("--port", options.port, "port to serve at; without it any that is free")
      ->type_name("PORT")
      ->check(CLI::Range(1, 65535));
  app.add_flag("--lan", options.lan, "serve to the networks of this machine, not to this machine alone");
  app.add_flag("--tls", options.tls, "with --lan: serve https, with the bench's own certificate");
  app.add_option("--keep", options.keep, "the log that is kept; without it JOB.sweep.jsonl in this folder")
      ->type_name("FILE");
  app.add_option("--json", options.json, "write the result as JSON to this file, or - for standard output")
      ->type_name("FILE");
  app.add_option("--heatmap", options.heatmap, "write the picture to this .png or .svg")->type_name("FILE");
  app.add_option("--adb", options.adb,
                 "take the sweep from an Android device by adb: its serial, or none for the only one")
      ->type_name("SERIAL")
      ->expected(0, 1);
  app.add_option("--device", options.device,
                 "take the sweep from a touchscreen of this machine: /dev/input/eventN")
      ->type_name("NAME");
  add_evidence_file_options(app, options.evidence);
}

void settle(SweepOptions& options) {
  if (!good_job(options.job)) refuse("--job", "up to 64 letters, digits, '-', '_' and '.', such as WO-2207");
  if (options.adb && !options.device.empty()) refuse("--adb --device", "one of them");
  if (options.wired() && (options.lan || options.port != 0))
    refuse("--lan --port", "neither with --adb or --device, which serve no page");
  if (!options.wired() && options.panel.rotate != 0)
    refuse("--rotate", "no turning: the page knows how its screen stands");
  if (options.tls && !options.lan) refuse("--tls", "--lan as well: on this machine alone http is as safe");
  const std::string ending = std::filesystem::path(options.heatmap).extension();
  if (!options.heatmap.empty() && ending != ".png" && ending != ".svg")
    refuse("--heatmap " + options.heatmap, "a name that ends in .png or .svg");
  if (options.keep.empty())
    options.keep = options.job + (options.adb       ? ".sweep.getevent"
                                  : options.wired() ? ".sweep.evemu"
                                                    : ".sweep.jsonl");
  if (options.keep == "-") refuse("--keep -", "a file: the sweep goes on from it after a stop");
  if (options.stage == "open" &&
      std::find(options.conditions.begin(), options.conditions.end(), "open") == options.conditions.end())
    options.conditions.push_back("open");
  if (!options.evidence.file.empty())
    options.evidence.job = options.job, options.evidence.stage = options.stage;
  refuse_evidence_combinations(options.evidence, 1);
  keep_apart({options.panel.profile, options.limits, options.evidence.ledger, options.evidence.key_file},
             {{"--keep", options.keep},
              {"--json", options.json},
              {"--heatmap", options.heatmap},
              {"--evidence", options.evidence.file}});
}

}  // namespace paneproof
