#include "analyzer/cli/checked.hpp"

#include <utility>

#include "analyzer/cli/progress.hpp"
#include "analyzer/verdict/one_panel.hpp"
#include "capture/model/input_error.hpp"
#include "capture/watch/agree.hpp"

namespace paneproof {
namespace {

AnalysisOptions analysis_options(const CheckPlan& plan) {
  return {plan.limits.fingertip_mm, plan.limits.cell_mm, plan.limits.edge_deeper_mm, plan.reference,
          plan.swept_all};
}

}  // namespace

Reference reference_of(const std::string& file, const CheckPlan& plan) {
  Notes notes;
  const Findings found = analyse(load_sweep(file, plan.load, notes), analysis_options(plan));
  if (!found.dead_zones.empty() || found.rate.rate_hz <= 0 || found.jitter.reports == 0)
    throw InputError(file, "",
                     "expected a sweep of a known-good panel for --reference, but this one shows a fault or "
                     "tells too little",
                     "check it by itself first, and take one that passes");
  return {found.edges, found.jitter.rms_mm, found.rate.rate_hz};
}

Checked check(const std::vector<std::string>& files, const CheckPlan& plan) {
  Checked checked;
  std::vector<Trace> sweeps;
  for (const std::string& file : files) {
    ProgressBar bar;
    LoadOptions load = plan.load;
    load.watch.progress = [&](double share) { bar.show(share); };
    add_sweep(sweeps, load_sweep(file, load, checked.notes), checked.notes);
  }
  if (!plan.with.empty()) {
    if (!sweeps.front().sweeps.front().recording)
      throw InputError(files.front(), "", "expected a recording for --with",
                       "give the recording as the file and the log to --with", Exit::usage);
    Notes aside;
    LoadOptions load = plan.load;
    load.watch = {};
    const Agreement agreement = agreement_of(sweeps.front(), load_sweep(plan.with, load, aside));
    checked.notes.add(agreement.agrees ? "log_agrees" : "log_differs", told(agreement));
  }
  checked.trace = merge(std::move(sweeps));
  checked.findings = analyse(checked.trace, analysis_options(plan));
  checked.verdict = judge(checked.findings, plan.limits, plan.conditions);
  return checked;
}

CheckResult result_of(const Checked& checked, const CheckPlan& plan) {
  return {checked.findings,         checked.verdict, checked.trace,  checked.notes.all(),
          limit_lines(plan.limits), plan.conditions, plan.swept_all, PANEPROOF_VERSION};
}

}  // namespace paneproof
