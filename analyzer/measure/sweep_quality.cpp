#include "analyzer/measure/sweep_quality.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/length.hpp"
#include "capture/model/large_pages.hpp"

namespace paneproof {
namespace {

constexpr double resting_mm_s = 5.0;

double quantile(std::vector<float>& values, double share) {
  if (values.empty()) return 0;
  const auto at =
      values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

// Time with at least one finger down: the union of the contacts' spans, per sweep.
double time_down_s(const Trace& trace, const std::vector<std::uint8_t>& counts) {
  std::int64_t down_us = 0;
  std::map<std::uint32_t, std::int64_t> covered_to;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    const Contact& contact = trace.contacts[c];
    const std::int64_t from = trace.reports[contact.first].t_us;
    const std::int64_t to = trace.reports[contact.first + contact.count - 1].t_us;
    auto [at, fresh] = covered_to.try_emplace(contact.sweep, from);
    down_us += std::max<std::int64_t>(0, to - std::max(from, at->second));
    at->second = std::max(at->second, to);
  }
  return static_cast<double>(down_us) * 1e-6;
}

bool open_cell(const Grid& grid, int column, int row) {
  return !grid.masked[static_cast<std::size_t>(row) * grid.columns + column] &&
         grid.at(column, row) == CellState::unswept;
}

std::vector<StrokeLeft> runs(const Grid& grid, const Panel& panel, bool along_rows) {
  std::vector<StrokeLeft> strokes;
  const int lines = along_rows ? grid.rows : grid.columns, length = along_rows ? grid.columns : grid.rows;
  const auto middle = [&](int at, double limit) { return std::min((at + 0.5) * grid.cell_mm, limit); };
  for (int line = 0; line < lines; ++line)
    for (int at = 0; at < length; ++at) {
      const auto open = [&](int k) {
        return along_rows ? open_cell(grid, k, line) : open_cell(grid, line, k);
      };
      if (!open(at)) continue;
      int end = at;
      while (end + 1 < length && open(end + 1)) ++end;
      const double from = std::max(0.0, at * grid.cell_mm - grid.cell_mm / 2);
      const double to = std::min(along_rows ? panel.width_mm : panel.height_mm, (end + 1.5) * grid.cell_mm);
      if (along_rows)
        strokes.push_back({{from, middle(line, panel.height_mm)}, {to, middle(line, panel.height_mm)}});
      else
        strokes.push_back({{middle(line, panel.width_mm), from}, {middle(line, panel.width_mm), to}});
      at = end;
    }
  return strokes;
}

}  // namespace

SweepQuality sweep_quality(const Trace& trace, const std::vector<std::uint8_t>& counts,
                           const ReportRate& rate, double fingertip_mm) {
  SweepQuality quality;
  double duration_s = 0;
  for (const SourceFacts& sweep : trace.sweeps) duration_s += static_cast<double>(sweep.duration_us) * 1e-6;
  quality.duration_s = round_s(duration_s);
  if (duration_s > 0)
    quality.contact_share = round_share(std::min(1.0, time_down_s(trace, counts) / duration_s));
  std::vector<float> speeds;
  reserve_on_large_pages(speeds, trace.reports.size());
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    const Contact& contact = trace.contacts[c];
    for (std::uint32_t i = contact.first + 1; i < contact.first + contact.count; ++i) {
      const Report &a = trace.reports[i - 1], &b = trace.reports[i];
      if (b.t_us <= a.t_us) continue;
      const double speed = length(b.x - a.x, b.y - a.y) / (static_cast<double>(b.t_us - a.t_us) * 1e-6);
      if (speed > resting_mm_s) speeds.push_back(static_cast<float>(speed));
    }
  }
  quality.speed_median_mm_s = rounded(quantile(speeds, 0.5), 10);
  quality.speed_p95_mm_s = rounded(quantile(speeds, 0.95), 10);
  quality.fastest_useful_mm_s = rounded(fingertip_mm / 2 * rate.rate_hz, 1);
  return quality;
}

std::vector<StrokeLeft> strokes_left(const Grid& grid, const Panel& panel) {
  std::vector<StrokeLeft> rows = runs(grid, panel, true), columns = runs(grid, panel, false);
  std::vector<StrokeLeft>& fewer = rows.size() <= columns.size() ? rows : columns;
  for (StrokeLeft& stroke : fewer)
    stroke = {{round_mm(stroke.from.x_mm), round_mm(stroke.from.y_mm)},
              {round_mm(stroke.to.x_mm), round_mm(stroke.to.y_mm)}};
  return std::move(fewer);
}

}  // namespace paneproof
