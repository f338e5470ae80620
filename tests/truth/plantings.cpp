#include "tests/truth/plantings.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {
namespace {

bool inside(const Disc& disc, double x_mm, double y_mm) {
  return std::hypot(x_mm - disc.x_mm, y_mm - disc.y_mm) <= disc.radius_mm;
}

std::string told(const char* what, const Disc& disc) {
  char text[160];
  std::snprintf(text, sizeof text, "%s: disc of radius %.4f mm at x %.4f, y %.4f mm", what, disc.radius_mm,
                disc.x_mm, disc.y_mm);
  return text;
}

}  // namespace

Trace without(const Trace& trace, const Disc& disc) {
  Trace out;
  out.holes = trace.holes;
  out.panel = trace.panel;
  out.sweeps = trace.sweeps;
  for (const Contact& contact : trace.contacts) {
    Contact kept = contact;
    kept.first = static_cast<std::uint32_t>(out.reports.size());
    for (std::uint32_t k = contact.first; k < contact.first + contact.count; ++k) {
      Report report = trace.reports[k];
      if (inside(disc, report.x, report.y)) continue;
      report.contact = static_cast<std::uint32_t>(out.contacts.size());
      out.reports.push_back(report);
    }
    kept.count = static_cast<std::uint32_t>(out.reports.size()) - kept.first;
    if (kept.count > 0) out.contacts.push_back(kept);
  }
  return out;
}

Disc random_disc(const Panel& panel, double fingertip_mm, Random& random) {
  Disc disc;
  do {
    disc.x_mm = random.uniform(0, panel.width_mm);
    disc.y_mm = random.uniform(0, panel.height_mm);
  } while (!panel.judged(disc.x_mm, disc.y_mm));
  disc.radius_mm = fingertip_mm / 2 + random.log_uniform(0.001, 16);
  return disc;
}

std::string broken_guarantee(const Trace& trace, const Disc& disc, const Limits& limits) {
  const Findings findings = analyse(without(trace, disc), options_of(limits));
  const double reach_mm = disc.radius_mm - limits.fingertip_mm / 2;
  const Grid& grid = findings.grid;
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const double x0 = column * grid.cell_mm, y0 = row * grid.cell_mm;
      const double x1 = std::min(x0 + grid.cell_mm, trace.panel.width_mm);
      const double y1 = std::min(y0 + grid.cell_mm, trace.panel.height_mm);
      const double dx = std::max(std::abs(x0 - disc.x_mm), std::abs(x1 - disc.x_mm));
      const double dy = std::max(std::abs(y0 - disc.y_mm), std::abs(y1 - disc.y_mm));
      if (std::hypot(dx, dy) <= reach_mm && grid.at(column, row) == CellState::proven)
        return told("a cell inside the disc is proven", disc);
    }
  if (judge(findings, limits, {}).outcome == Outcome::pass) return told("the verdict is pass", disc);
  return "";
}

Trace trace_to_plant(std::uint64_t number) {
  constexpr Mix mixes[] = {Mix::good_complete, Mix::mixed, Mix::good_complete, Mix::good_incomplete};
  RehearsalSpec spec = random_spec(first_seed_of_plantings + number, mixes[number / 6 % 4]);
  spec.hand.style = static_cast<SweepStyle>(number % 6);
  return trace_of(rehearse(spec));
}

}  // namespace paneproof
