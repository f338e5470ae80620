// paneproof check: one panel from one or more sweeps, or (--each) one panel a file.
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <thread>

#include "analyzer/cli/checked.hpp"
#include "analyzer/cli/commands.hpp"
#include "analyzer/cli/evidence_check.hpp"
#include "analyzer/cli/options.hpp"
#include "analyzer/cli/progress.hpp"
#include "analyzer/report/check_result.hpp"
#include "analyzer/report/heatmap.hpp"
#include "analyzer/report/json.hpp"
#include "analyzer/report/terminal.hpp"
#include "analyzer/report/wording.hpp"
#include "analyzer/verdict/limits.hpp"
#include "capture/bytes/apart.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

struct CheckOptions {
  std::vector<std::string> files;
  PanelOptions panel;
  std::string axes, device, limits, json, heatmap, reference, follow, strips, annotate, with, corners;
  std::vector<std::string> conditions;
  bool swept_all = false, each = false;
  EvidenceOptions evidence;
};

CheckPlan plan_of(const CheckOptions& options) {
  CheckPlan plan;
  plan.load = {panel_request(options.panel), options.axes, options.device, {}, !options.json.empty()};
  plan.load.watch.follow = options.follow;
  plan.load.watch.corners = options.corners;
  plan.load.watch.strips = options.strips;
  plan.load.watch.annotate = options.annotate;
  plan.limits =
      options.limits.empty() ? default_limits() : parse_limits(limits_text(options.limits), options.limits);
  plan.conditions = conditions_of(options.conditions);
  plan.swept_all = options.swept_all;
  plan.with = options.with;
  if (!options.reference.empty()) plan.reference = reference_of(options.reference, plan);
  return plan;
}

std::string picture_of(const CheckResult& result, const std::string& path) {
  const std::string ending = std::filesystem::path(path).extension();
  return ending == ".svg" ? heatmap_svg(result) : heatmap_png(result);
}

bool wants_colour(FILE* stream) { return isatty(fileno(stream)) && !std::getenv("NO_COLOR"); }

int report_merged(const CheckOptions& options, const CheckResult& result) {
  if (!options.heatmap.empty()) write_file(options.heatmap, picture_of(result, options.heatmap));
  if (!options.json.empty()) write_file(options.json, json_text(result));
  // Standard output belongs to the JSON when it goes there.
  FILE* summary = options.json == "-" || options.heatmap == "-" ? stderr : stdout;
  const std::string text = terminal_summary(result, wants_colour(summary));
  if (std::fwrite(text.data(), 1, text.size(), summary) != text.size() || std::fflush(summary) != 0)
    throw InputError("", "standard output", "expected to be able to write the summary",
                     "check the disk or the pipe", Exit::io_error);
  return static_cast<int>(result.verdict.outcome);
}

int run_merged(const CheckOptions& options, const CheckPlan& plan) {
  const Checked checked = check(options.files, plan);
  return report_merged(options, result_of(checked, plan));
}

int run_evidence(const CheckOptions& options, const CheckPlan& plan) {
  return check_with_evidence(
      {options.files, plan.load.panel, options.axes, options.device, limits_text(options.limits),
       options.follow, false, false, plan.conditions, plan.reference, plan.swept_all},
      options.evidence, [&](const CheckResult& result) { return report_merged(options, result); });
}

struct PanelLine {
  std::string line, json, error;
  Exit exit = Exit::pass;
};

// One panel of --each: everything it writes, and its line. An unreadable log must not stop the others.
PanelLine check_one(const std::string& file, const CheckOptions& options, const CheckPlan& plan) {
  PanelLine one;
  try {
    const Checked checked = check({file}, plan);
    const CheckResult result = result_of(checked, plan);
    if (!options.heatmap.empty())
      write_file(
          (std::filesystem::path(options.heatmap) / std::filesystem::path(file).filename()).string() + ".png",
          heatmap_png(result));
    if (!options.json.empty()) one.json = json_text(result);
    one.line = std::string(word(checked.verdict.outcome)) + "  " + printable(file) + "  " +
               checked.verdict.reasons.front().text;
    for (const Note& note : result.notes)
      if (asks(note)) one.line += " ! " + note.text;
    one.exit = static_cast<Exit>(checked.verdict.outcome);
  } catch (const InputError& error) {
    one.error = error.what();
    one.exit = error.exit;
  } catch (const std::bad_alloc&) {
    one.error = printable(file) + ": not enough memory for this log; cut it to the sweep";
    one.exit = Exit::bad_data;
  }
  return one;
}

int run_each(const CheckOptions& options, const CheckPlan& plan) {
  std::vector<PanelLine> results(options.files.size());
  {
    Progress progress(options.files.size());
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
      for (std::size_t i = next++; i < options.files.size(); i = next++) {
        results[i] = check_one(options.files[i], options, plan);
        progress.one_done();
      }
    };
    std::vector<std::thread> others;
    const std::size_t threads =
        std::min<std::size_t>(std::max(1u, std::thread::hardware_concurrency()), options.files.size());
    for (std::size_t t = 1; t < threads; ++t) others.emplace_back(work);
    work();
    for (std::thread& thread : others) thread.join();
  }
  std::string json;
  bool unread = false, failed = false, again = false;
  FILE* lines = options.json == "-" ? stderr : stdout;
  for (const PanelLine& one : results) {
    if (!one.error.empty())
      std::fprintf(stderr, "paneproof: %s\n", one.error.c_str()), unread = true;
    else
      std::fprintf(lines, "%s\n", one.line.c_str());
    if (!one.json.empty()) json += (json.empty() ? "[\n" : ",\n") + one.json;
    failed |= one.exit == Exit::fail;
    again |= one.exit == Exit::resweep;
  }
  if (!options.json.empty()) write_file(options.json, json.empty() ? "[]\n" : json + "]\n");
  return static_cast<int>(unread ? Exit::bad_data : failed ? Exit::fail : again ? Exit::resweep : Exit::pass);
}

void keep_files_apart(const CheckOptions& options) {
  std::vector<std::string> read = options.files;
  for (const std::string& file : {options.panel.profile, options.axes, options.limits, options.reference,
                                  options.with, options.evidence.ledger, options.evidence.key_file})
    read.push_back(file);
  keep_apart(read, {{"--json", options.json},
                    {"--heatmap", options.heatmap},
                    {"--annotate", options.annotate},
                    {"--evidence", options.evidence.file}});
}

void refuse_combinations(const CheckOptions& options) {
  const auto refuse = [](const std::string& what, const std::string& expected) {
    throw InputError("", what, expected, "see paneproof check --help", Exit::usage);
  };
  refuse_evidence_combinations(options.evidence, options.files.size());
  if (options.each && !options.evidence.file.empty())
    refuse("--each", "expected it without --evidence: evidence is of one panel");
  if (options.json == "-" && options.heatmap == "-")
    refuse("--json - --heatmap -", "expected one of them on standard output");
  if (std::count(options.files.begin(), options.files.end(), "-") > 1)
    refuse("-", "expected standard input once");
  const std::string ending = std::filesystem::path(options.heatmap).extension();
  if (!options.heatmap.empty() && !options.each && options.heatmap != "-" && ending != ".png" &&
      ending != ".svg")
    refuse("--heatmap " + options.heatmap, "expected a name that ends in .png or .svg");
  if ((!options.strips.empty() || !options.annotate.empty() || !options.with.empty()) &&
      options.files.size() != 1)
    refuse("--strips, --annotate, --with", "expected them with one recording");
  if (!options.corners.empty() && (!options.strips.empty() || !options.annotate.empty()))
    refuse("--corners",
           "expected it without --strips and --annotate: these are drawn for recordings of the screen");
  if (!options.annotate.empty() && std::filesystem::path(options.annotate).extension() != ".mp4")
    refuse("--annotate " + options.annotate, "expected a name that ends in .mp4");
  if (!options.heatmap.empty() && options.each) {
    std::vector<std::string> names;
    for (const std::string& file : options.files) names.push_back(std::filesystem::path(file).filename());
    std::sort(names.begin(), names.end());
    const auto twice = std::adjacent_find(names.begin(), names.end());
    if (twice != names.end())
      refuse("--heatmap " + options.heatmap,
             "expected logs of different names, as each picture takes its log's; two are called " + *twice);
  }
  if (!options.heatmap.empty() && options.each && !std::filesystem::is_directory(options.heatmap))
    refuse("--heatmap " + options.heatmap, "expected a folder, as --each makes a picture for every file");
}

}  // namespace

std::function<int()> set_up_check(CLI::App& app) {
  const auto options = std::make_shared<CheckOptions>();
  app.add_option("LOG", options->files,
                 "touch logs or recordings of the screen; several are several sweeps of one panel; - is "
                 "standard input")
      ->type_name("")
      ->required();
  add_panel_options(app, options->panel);
  add_log_options(app, options->axes, options->device);
  add_recording_options(app, options->follow, options->corners);
  app.add_option("--strips", options->strips, "write a strip of frames about each drop to this folder")
      ->type_name("FOLDER")
      ->group("Recordings of the screen");
  app.add_option("--annotate", options->annotate,
                 "write the recording with what was followed drawn into it to this .mp4")
      ->type_name("FILE")
      ->group("Recordings of the screen");
  app.add_option("--with", options->with, "a touch log of the same sweep, to tell how well the two agree")
      ->type_name("LOG")
      ->group("Recordings of the screen");
  app.add_option("--limits", options->limits, "limits file; docs/limits.txt explains each")
      ->type_name("FILE");
  add_condition_option(app, options->conditions);
  app.add_option("--reference", options->reference,
                 "sweep of a known-good panel of the same model: its edges, rate and jitter are the measure")
      ->type_name("LOG");
  app.add_flag("--swept-all", options->swept_all, "the operator states that the finger went everywhere");
  app.add_flag("--each", options->each, "every file is a panel of its own");
  app.add_option("--json", options->json, "write the result as JSON to this file, or - for standard output")
      ->type_name("FILE");
  app.add_option("--heatmap", options->heatmap,
                 "write the picture to this .png or .svg (with --each: a folder)")
      ->type_name("FILE");
  add_evidence_options(app, options->evidence);
  return [options] {
    refuse_combinations(*options);
    keep_files_apart(*options);
    if (!options->evidence.file.empty()) go_where_evidence_is_made();
    const CheckPlan plan = plan_of(*options);
    if (!options->evidence.file.empty()) return run_evidence(*options, plan);
    return options->each ? run_each(*options, plan) : run_merged(*options, plan);
  };
}

}  // namespace paneproof
