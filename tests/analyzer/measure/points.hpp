// Reports at given places, without time: all that the geometry of coverage and guarantee looks at.
#pragma once

#include <random>
#include <utility>
#include <vector>

#include "analyzer/measure/report_field.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

using Places = std::vector<std::pair<double, double>>;

inline Trace trace_at(const Panel& panel, const Places& places) {
  Trace trace;
  trace.panel = panel;
  trace.sweeps.emplace_back();
  std::int64_t t_us = 0;
  for (const auto& [x, y] : places) trace.reports.push_back({t_us += 8000, x, y, 0, 0});
  if (!places.empty())
    trace.contacts.push_back({0, static_cast<std::uint32_t>(places.size()), 0, Ending::lifted, Tool::finger});
  return trace;
}

inline Panel panel_of(double width_mm, double height_mm, double rim_mm = 0) {
  Panel panel;
  panel.width_mm = width_mm;
  panel.height_mm = height_mm;
  panel.rim_mm = rim_mm;
  return panel;
}

// Whole micrometres, as a Trace holds them.
inline Places random_places(std::mt19937_64& random, const Panel& panel, int count) {
  Places places;
  const auto draw = [&](double size_mm) {
    return static_cast<double>(random() % static_cast<std::uint64_t>(size_mm * 1000 + 1)) / 1000;
  };
  for (int i = 0; i < count; ++i) {
    const double x = draw(panel.width_mm);
    places.push_back({x, draw(panel.height_mm)});
  }
  return places;
}

// What guarantee and coverage need of places on a panel.
struct Field {
  Panel panel;
  Trace trace;
  Raster raster;
  std::vector<std::uint8_t> judged;
  ReportField field;

  Field(const Panel& of, const Places& places)
      : panel(of),
        trace(trace_at(of, places)),
        raster(raster_over(of)),
        judged(judged_pixels(raster, of)),
        field(trace, raster, std::vector<std::uint8_t>(trace.contacts.size(), 1)) {}
};

}  // namespace paneproof
