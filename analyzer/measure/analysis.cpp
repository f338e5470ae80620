#include "analyzer/measure/analysis.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/coverage.hpp"
#include "analyzer/measure/dead_zones.hpp"
#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/dropouts.hpp"
#include "analyzer/measure/edges.hpp"
#include "analyzer/measure/guarantee.hpp"
#include "analyzer/measure/pinches.hpp"
#include "analyzer/measure/recordings.hpp"
#include "analyzer/measure/repeats.hpp"
#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/report_rate.hpp"
#include "analyzer/measure/roles.hpp"
#include "analyzer/measure/silence.hpp"
#include "analyzer/measure/straightness.hpp"
#include "analyzer/measure/sweep_quality.hpp"
#include "analyzer/measure/voids.hpp"

namespace paneproof {
namespace {

constexpr double beside_fault_mm = 3.0;

// Is a point at, or right beside, a place that was found silent or intermittent?
bool near_fault(const std::vector<std::uint8_t>& states, const Raster& raster, double x_mm, double y_mm) {
  const int reach = static_cast<int>(std::ceil(beside_fault_mm / raster.pixel_mm));
  const int column = raster.at(x_mm), row = raster.at(y_mm);
  for (int r = row - reach; r <= row + reach; ++r)
    for (int c = column - reach; c <= column + reach; ++c) {
      if (!raster.holds(c, r)) continue;
      const std::uint8_t state = states[raster.index(c, r)];
      if (state == static_cast<std::uint8_t>(CellState::silent) ||
          state == static_cast<std::uint8_t>(CellState::intermittent))
        return true;
    }
  return false;
}

}  // namespace

Findings analyse(const Trace& trace, const AnalysisOptions& options) {
  const Panel& panel = trace.panel;
  const double d = options.fingertip_mm;
  Findings out;
  out.panel_width_mm = round_mm(panel.width_mm);
  out.panel_height_mm = round_mm(panel.height_mm);
  out.rim_mm = round_mm(panel.rim_mm);
  out.fingertip_mm = d;
  for (const MaskShape& shape : panel.mask)
    if (shape.name == out_of_reach_name)
      out.out_of_reach_mm =
          std::max(out.out_of_reach_mm, round_mm(std::min(shape.width_mm, shape.height_mm)));
  out.contacts = static_cast<int>(trace.contacts.size());
  out.reports = static_cast<std::int64_t>(trace.reports.size());

  const Roles roles = contact_roles(trace);
  const std::vector<std::uint8_t> logs = of_logs(trace, roles.counts),
                                  touches = of_touches(trace, roles.counts);
  const double unsure_mm = uncertainty_mm(trace);
  out.ghosts = roles.ghosts;
  out.pen_only = roles.pen_only;
  out.most_contacts = roles.most_at_once;
  out.rate = report_rate(trace);
  const std::vector<double> usual_s = usual_intervals_s(trace, out.rate);
  const std::vector<Silence> silent = of_panel(trace, silences(trace, usual_s, touches));

  const Raster raster = raster_over(panel);
  const std::vector<std::uint8_t> judged = judged_pixels(raster, panel);
  const ReportField field(trace, raster, roles.counts);
  std::vector<Repeat> repeated = repeats(trace, silent, field, d);
  const Voids empty = voids(trace, logs, silent, repeated, field, judged, d);
  claim(empty, field, silent, repeated);
  out.reference = options.reference;
  const Edges sides =
      edges(trace, logs, options.edge_deeper_mm, options.reference ? &options.reference->edges : nullptr);
  out.edges = sides.nearest;

  const std::vector<std::uint8_t> states =
      pixel_states(field, judged, silent, repeated, sides.bands, empty, panel, d - 2 * unsure_mm);
  out.grid = cells_of(states, raster, panel, options.cell_mm);
  out.coverage = shares_of(states, raster, panel);
  out.coverage.largest_untested = largest_untested_circle(field, panel, judged);
  out.coverage.largest_untested.diameter_mm += 2 * unsure_mm;
  out.dead_zones = dead_zones(states, field, panel, silent, repeated, sides.bands, empty);
  if (options.swept_all)
    for (const DeadZone& zone : attested_zones(states, field, panel, d)) out.dead_zones.push_back(zone);
  const auto faulty = [&](double x, double y) { return near_fault(states, raster, x, y); };
  tell_silences(trace, silent, repeated,
                bursts(trace, silent, repeated, absences(trace, usual_s, touches), field, faulty), out);
  std::vector<Silence> told;
  for (std::size_t i = 0; i < silent.size(); ++i)
    if (repeated[i].fault) told.push_back(silent[i]);
  tell_breaks(breaks_at(trace, usual_s, logs, told, faulty), out);

  const auto rounded = [](Point p) { return Point{round_mm(p.x_mm), round_mm(p.y_mm)}; };
  for (const Pinch& p : pinches(trace, logs, field))
    if (!faulty((p.from.x_mm + p.to.x_mm) / 2, (p.from.y_mm + p.to.y_mm) / 2))
      out.doubts.push_back(
          {static_cast<int>(p.sweep), round_s(p.t_s), 0, rounded(p.from), rounded(p.to), "swerves_around"});

  tell_recordings(trace, out);

  out.jitter = straightness(trace, logs, usual_s, silent);
  out.quality = sweep_quality(trace, roles.counts, out.rate, d);
  out.quality.left = strokes_left(out.grid, panel);
  return out;
}

}  // namespace paneproof
