#include "analyzer/measure/dead_zones.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/regions.hpp"

namespace paneproof {
namespace {

constexpr double edge_mm = 4.5, deepest_edge_mm = 16.0, edge_share = 0.55;
constexpr double widest_line_mm = 30.0, widest_part_mm = 20.0, line_share = 0.7, partial_ratio = 2.0, partial_mm = 18.0;
constexpr double smallest_mm2 = 6.0;
constexpr double void_confidence = 0.98;

struct Box {
  double x0, y0, x1, y1;
  double width() const { return x1 - x0; }
  double height() const { return y1 - y0; }
};

template <class Wanted>
Regions regions_where(const std::vector<std::uint8_t>& states, const Raster& raster, Wanted wanted) {
  std::vector<std::uint8_t> mask(states.size());
  for (std::size_t i = 0; i < states.size(); ++i) mask[i] = wanted(states[i]);
  // Close hairlines between neighbouring rows' ways.
  const int reach = std::max(1, static_cast<int>(std::lround(1.0 / raster.pixel_mm)));
  return regions_of(mask, raster.stride(), raster.height(), reach);
}

Box box_of(const Region& region, const Raster& raster, const Panel& panel) {
  const auto mm = [&](int pixel) { return (pixel - raster.margin) * raster.pixel_mm; };
  return {std::max(0.0, mm(region.left)), std::max(0.0, mm(region.top)),
          std::min(panel.width_mm, mm(region.right)), std::min(panel.height_mm, mm(region.bottom))};
}

std::size_t label_at(const Regions& regions, const Raster& raster, int column, int row) {
  return static_cast<std::size_t>(regions.labels[raster.index(column, row)]);
}

void classify(DeadZone& zone, const Box& box, const Panel& panel) {
  const double w = box.width(), h = box.height();
  const bool at_left = box.x0 < edge_mm, at_right = panel.width_mm - box.x1 < edge_mm;
  const bool at_top = box.y0 < edge_mm, at_bottom = panel.height_mm - box.y1 < edge_mm;
  if ((at_left != at_right) && w <= deepest_edge_mm && h >= edge_share * panel.height_mm) {
    zone.kind = ZoneKind::edge_band, zone.along = Along::column;
  } else if ((at_top != at_bottom) && h <= deepest_edge_mm && w >= edge_share * panel.width_mm) {
    zone.kind = ZoneKind::edge_band, zone.along = Along::row;
  } else if (w <= widest_line_mm && h >= line_share * panel.height_mm) {
    zone.kind = ZoneKind::line, zone.along = Along::column;
  } else if (h <= widest_line_mm && w >= line_share * panel.width_mm) {
    zone.kind = ZoneKind::line, zone.along = Along::row;
  } else if (w <= widest_part_mm && h >= partial_ratio * w && h >= partial_mm) {
    zone.kind = ZoneKind::partial_line, zone.along = Along::column;
  } else if (h <= widest_part_mm && w >= partial_ratio * h && w >= partial_mm) {
    zone.kind = ZoneKind::partial_line, zone.along = Along::row;
  } else {
    zone.kind = ZoneKind::area;
  }
}

DeadZone zone_of(const Box& box, const Panel& panel) {
  DeadZone zone;
  classify(zone, box, panel);
  zone.x_mm = round_mm(box.x0), zone.y_mm = round_mm(box.y0);
  zone.width_mm = round_mm(box.width()), zone.height_mm = round_mm(box.height());
  return zone;
}

}  // namespace

std::vector<DeadZone> dead_zones(const std::vector<std::uint8_t>& states, const ReportField& field, const Panel& panel,
                                 const std::vector<Silence>& silences, const std::vector<Repeat>& repeats,
                                 const std::vector<EdgeBand>& bands, const Voids& voids) {
  const Raster& raster = field.raster();
  const Regions regions = regions_where(states, raster, [](std::uint8_t state) {
    return state == static_cast<std::uint8_t>(CellState::silent) || state == static_cast<std::uint8_t>(CellState::intermittent);
  });
  std::vector<DeadZone> zones(regions.found.size());
  for (std::size_t label = 1; label < zones.size(); ++label)
    zones[label] = zone_of(box_of(regions.found[label], raster, panel), panel);
  for (std::size_t i = 0; i < silences.size(); ++i) {
    if (!repeats[i].fault) continue;
    const int column = raster.at((silences[i].from.x_mm + silences[i].to.x_mm) / 2);
    const int row = raster.at((silences[i].from.y_mm + silences[i].to.y_mm) / 2);
    if (!raster.holds(column, row)) continue;
    DeadZone& zone = zones[label_at(regions, raster, column, row)];
    zone.lost = std::max(zone.lost, repeats[i].lost);
    zone.passages = std::max(zone.passages, repeats[i].passages);
    zone.confidence = std::max(zone.confidence, 1 - std::exp(repeats[i].log_chance));
  }
  for (const EdgeBand& band : bands)
    for (const Point& place : band.places) {
      // The band begins where the strokes stop: look a little further out.
      const double out_mm = band.depth_mm / 2;
      const double x = band.side == Side::left ? out_mm : band.side == Side::right ? panel.width_mm - out_mm : place.x_mm;
      const double y = band.side == Side::top ? out_mm : band.side == Side::bottom ? panel.height_mm - out_mm : place.y_mm;
      const int column = raster.at(x), row = raster.at(y);
      if (!raster.holds(column, row)) continue;
      DeadZone& zone = zones[label_at(regions, raster, column, row)];
      zone.lost = zone.passages = std::max(zone.lost, band.stops);
      zone.confidence = std::max(zone.confidence, 0.95);
      zone.kind = ZoneKind::edge_band;
      zone.along = band.side == Side::left || band.side == Side::right ? Along::column : Along::row;
    }
  for (std::size_t at = 0; at < voids.regions.labels.size(); ++at) {
    const Void& v = voids.found[static_cast<std::size_t>(voids.regions.labels[at])];
    if (!v.dead) continue;
    DeadZone& zone = zones[static_cast<std::size_t>(regions.labels[at])];
    zone.lost = std::max(zone.lost, v.crossings);
    zone.passages = std::max(zone.passages, zone.lost);
    zone.confidence = std::max(zone.confidence, void_confidence);
  }
  std::vector<DeadZone> kept;
  for (std::size_t label = 1; label < zones.size(); ++label) {
    if (regions.found[label].pixels * raster.pixel_mm * raster.pixel_mm < smallest_mm2) continue;
    zones[label].confidence = round_share(zones[label].confidence);
    zones[label].intermittent = zones[label].lost < zones[label].passages;
    kept.push_back(zones[label]);
  }
  std::stable_sort(kept.begin(), kept.end(), [](const DeadZone& a, const DeadZone& b) {
    return a.width_mm * a.height_mm > b.width_mm * b.height_mm;
  });
  return kept;
}

std::vector<DeadZone> attested_zones(const std::vector<std::uint8_t>& states, const ReportField& field, const Panel& panel,
                                     double fingertip_mm) {
  const Raster& raster = field.raster();
  const Regions regions = regions_where(states, raster, [](std::uint8_t s) { return s == static_cast<std::uint8_t>(CellState::unswept); });
  std::vector<std::uint8_t> wide(regions.found.size(), 0);
  for (int row = 0; row < raster.rows; ++row)
    for (int column = 0; column < raster.columns; ++column) {
      const std::size_t at = raster.index(column, row);
      if (states[at] != static_cast<std::uint8_t>(CellState::unswept)) continue;
      if (2 * field.nearest_mm(raster.centre_mm(column), raster.centre_mm(row)) > fingertip_mm)
        wide[label_at(regions, raster, column, row)] = 1;
    }
  std::vector<DeadZone> zones;
  for (std::size_t label = 1; label < wide.size(); ++label) {
    if (!wide[label]) continue;
    DeadZone zone = zone_of(box_of(regions.found[label], raster, panel), panel);
    zone.attested = true;
    zones.push_back(zone);
  }
  return zones;
}

}  // namespace paneproof
