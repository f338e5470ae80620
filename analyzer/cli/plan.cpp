// paneproof plan: how to sweep a panel, before anyone does.
#include <algorithm>
#include <cstdio>

#include "analyzer/cli/commands.hpp"
#include "analyzer/cli/options.hpp"
#include "analyzer/cli/row_plan.hpp"
#include "analyzer/verdict/limits.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

struct PlanOptions {
  std::string panel;
  double rate_hz = 120;
};

int run(const PlanOptions& options) {
  const auto [width, height] = two_numbers("--panel", options.panel, "WIDTHxHEIGHT in mm, such as 68x142");
  if (width < 10 || height < 10 || width > 2000 || height > 2000)
    throw InputError("", "--panel " + options.panel, "expected sides of 10 to 2000 mm",
                     "measure the touch area", Exit::usage);
  if (!(options.rate_hz >= 5 && options.rate_hz <= 2000))
    throw InputError("", "--rate", "expected 5 to 2000 reports a second", "leave it out for 120",
                     Exit::usage);
  const double d = default_limits().fingertip_mm;
  const RowPlan plan = row_plan(width, height, options.rate_hz, d);
  const double along = std::max(width, height);
  std::printf("Panel %.1f x %.1f mm, %.0f reports a second, fingertip %.1f mm\n", width, height,
              options.rate_hz, d);
  std::printf("Rows along the long side, %.1f mm apart: %d row%s, the outer ones %.1f mm from the edge\n",
              plan.row_mm, plan.rows, plan.rows == 1 ? "" : "s", plan.edge_mm);
  std::printf("At most %.0f mm/s (one long side in %.1f s); faster leaves gaps when the host drops a frame\n",
              plan.top_mm_s, std::max(0.1, along / plan.top_mm_s));
  std::printf("Expected: %s at %.0f mm/s, and %s more for %d row%s the other way\n",
              time_words(plan.seconds).c_str(), plan.pace_mm_s, time_words(plan.crossing_seconds).c_str(),
              plan.crossing_rows, plan.crossing_rows == 1 ? "" : "s");
  std::printf(
      "Clean, dry glass, no charger. Cover cracked glass with clear film before a finger goes over it.\n");
  std::printf("Run off the glass at both ends of each row, and do not lift in mid-row.\n");
  std::printf(
      "Then cross it: rows along the short side find dead lines that lie along the first,\n"
      "because a stroke across a place is evidence and a stroke along it is not.\n");
  if (along > arm_mm)
    std::printf(
        "The long side is more than an arm reaches: sweep it in parts that overlap, a log each, and give\n"
        "all of them to one check.\n");
  return 0;
}

}  // namespace

std::function<int()> set_up_plan(CLI::App& app) {
  const auto options = std::make_shared<PlanOptions>();
  app.add_option("--panel", options->panel, "size of the touch area in mm: 68x142")
      ->type_name("WIDTHxHEIGHT")
      ->required();
  app.add_option("--rate", options->rate_hz, "reports a second, if known")
      ->type_name("HZ")
      ->capture_default_str();
  return [options] { return run(*options); };
}

}  // namespace paneproof
