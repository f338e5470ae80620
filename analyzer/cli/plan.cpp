// paneproof plan: how to sweep a panel, before anyone does.
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "analyzer/cli/commands.hpp"
#include "analyzer/cli/options.hpp"
#include "analyzer/verdict/limits.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

// A hand wanders by about 1 mm to either side of a row (common practice, no source).
constexpr double wander_mm = 1.0;
// A comfortable drag; fingers slide at about 80 mm/s when they search a surface (Exp Brain Res,
// 10.1007/s00221-002-1240-4), and practised hands go twice as fast.
constexpr double comfortable_mm_s = 150.0;
constexpr double turn_s = 0.35;  // common practice, no source

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
  // Between rows s apart with reports p apart, the furthest point lies sqrt(s^2 + p^2) / 2 from a report;
  // that must stay within d / 2, with a wander to either side and one frame in two dropped by the host.
  const double row_mm = std::floor((d - 2 * wander_mm) * 0.9 * 2) / 2;
  const double step_mm = std::sqrt(d * d - (row_mm + 2 * wander_mm) * (row_mm + 2 * wander_mm));
  const double top_mm_s = std::floor(step_mm / 2 * options.rate_hz / 5) * 5;
  const double pace_mm_s = std::min(top_mm_s, comfortable_mm_s);
  const double edge_mm = d / 2 - wander_mm;
  const double across = std::min(width, height), along = std::max(width, height);
  const int rows = 1 + static_cast<int>(std::ceil((across - 2 * edge_mm) / row_mm - 1e-9));
  const double seconds = rows * along / pace_mm_s + (rows - 1) * turn_s;
  std::printf("Panel %.1f x %.1f mm, %.0f reports a second, fingertip %.1f mm\n", width, height,
              options.rate_hz, d);
  std::printf("Rows along the long side, %.1f mm apart: %d rows, the outer ones %.1f mm from the edge\n",
              row_mm, rows, edge_mm);
  std::printf("At most %.0f mm/s (one long side in %.1f s); faster leaves gaps when the host drops a frame\n",
              top_mm_s, along / top_mm_s);
  std::printf("Expected: %.0f s at %.0f mm/s\n", seconds, pace_mm_s);
  std::printf("Run off the glass at both ends of each row, and do not lift in mid-row.\n");
  std::printf(
      "Then cross it: a second sweep along the short side finds dead lines that lie along the first,\n"
      "because a stroke across a place is evidence and a stroke along it is not.\n");
  return 0;
}

}  // namespace

std::function<int()> set_up_plan(CLI::App& app) {
  const auto options = std::make_shared<PlanOptions>();
  app.add_option("--panel", options->panel, "size of the touch area in mm, WIDTHxHEIGHT: 68x142")->required();
  app.add_option("--rate", options->rate_hz, "reports a second, if known")->capture_default_str();
  return [options] { return run(*options); };
}

}  // namespace paneproof
