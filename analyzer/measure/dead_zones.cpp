#include "analyzer/measure/dead_zones.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/crosses.hpp"
#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/regions.hpp"
#include "analyzer/measure/zone_kind.hpp"

namespace paneproof {
namespace {

constexpr double strip_mm = 2.5, living_share = 0.3;
constexpr double smallest_mm2 = 6.0;
constexpr double surest = 0.98;  // as often right, of the surest, on the rehearsal mix (docs/accuracy.md)
constexpr double void_confidence = 0.98, stops_confidence = 0.75;  // stops: an edge that nothing else tells
constexpr double overlap_share = 0.5;  // of the narrower of two zones that lie along one line

template <class Wanted>
Regions regions_where(const std::vector<std::uint8_t>& states, const Raster& raster, Wanted wanted) {
  std::vector<std::uint8_t> mask(states.size());
  for (std::size_t i = 0; i < states.size(); ++i) mask[i] = wanted(states[i]);
  // Close hairlines between neighbouring rows' ways.
  const int reach = std::max(1, static_cast<int>(std::lround(1.0 / raster.pixel_mm)));
  return regions_of(mask, raster.stride(), raster.height(), reach);
}

Box on_glass(const Box& box, const Panel& panel) {
  return {std::max(0.0, box.x0), std::max(0.0, box.y0), std::min(panel.width_mm, box.x1),
          std::min(panel.height_mm, box.y1)};
}

Box box_of(const Region& region, const Raster& raster, const Panel& panel) {
  const auto mm = [&](int pixel) { return (pixel - raster.margin) * raster.pixel_mm; };
  return on_glass({mm(region.left), mm(region.top), mm(region.right), mm(region.bottom)}, panel);
}

std::size_t label_at(const Regions& regions, const Raster& raster, int column, int row) {
  return static_cast<std::size_t>(regions.labels[raster.index(column, row)]);
}

// A zone before it is told: its shape and what speaks for it.
struct Draft {
  Box box;
  double pixels = 0;
  DeadZone facts;  // lost, passages, confidence, and the kind where an edge band tells it
  bool edge = false, gone = false;
  int column = 0, row = 0;     // its silences that repeat along one column (or row)
  int level = 0, upright = 0;  // leaps over it along x, along y
  void leapt(Point from, Point to) {
    ++(std::abs(to.x_mm - from.x_mm) > std::abs(to.y_mm - from.y_mm) ? level : upright);
  }
  Along leaps() const {
    return level == upright ? Along::none : level > upright ? Along::row : Along::column;
  }
};

// Do two zones lie along one column (or row)? By where they lie across it.
bool along_one_line(const Draft& a, const Draft& b, bool column) {
  if ((column ? a.column : a.row) == 0 || (column ? b.column : b.row) == 0) return false;
  const double a0 = column ? a.box.x0 : a.box.y0, a1 = column ? a.box.x1 : a.box.y1;
  const double b0 = column ? b.box.x0 : b.box.y0, b1 = column ? b.box.x1 : b.box.y1;
  if (a1 - a0 > widest_line_mm || b1 - b0 > widest_line_mm) return false;
  return std::min(a1, b1) - std::max(a0, b0) >= overlap_share * std::min(a1 - a0, b1 - b0);
}

void take_in(Draft& into, Draft& other) {
  into.box = {std::min(into.box.x0, other.box.x0), std::min(into.box.y0, other.box.y0),
              std::max(into.box.x1, other.box.x1), std::max(into.box.y1, other.box.y1)};
  into.pixels += other.pixels;
  into.facts.lost = std::max(into.facts.lost, other.facts.lost);
  into.facts.passages = std::max(into.facts.passages, other.facts.passages);
  into.facts.confidence = std::max(into.facts.confidence, other.facts.confidence);
  into.column += other.column, into.row += other.row;
  into.level += other.level, into.upright += other.upright;
  other.gone = true;
}

// Pieces of one line are one zone.
void join_pieces(std::vector<Draft>& drafts) {
  for (const bool column : {true, false})
    for (std::size_t i = 1; i < drafts.size(); ++i)
      for (std::size_t j = i + 1; j < drafts.size() && !drafts[i].gone; ++j)
        if (!drafts[j].gone && !drafts[i].edge && !drafts[j].edge &&
            along_one_line(drafts[i], drafts[j], column))
          take_in(drafts[i], drafts[j]);
}

// Sides along which reports lie at the very edge of the glass, next to `box`.
Sides living_sides(const Box& box, const ReportField& field, const Panel& panel) {
  Sides living{};
  const auto lives = [&](Side side, double x0, double y0, double x1, double y1) {
    constexpr int places = 20;
    int alive = 0;
    for (int k = 0; k <= places; ++k)
      alive += field.any_within(x0 + (x1 - x0) * k / places, y0 + (y1 - y0) * k / places, strip_mm);
    living[static_cast<std::size_t>(side)] = alive >= living_share * places;
  };
  lives(Side::left, 0, box.y0, 0, box.y1);
  lives(Side::right, panel.width_mm, box.y0, panel.width_mm, box.y1);
  lives(Side::top, box.x0, 0, box.x1, 0);
  lives(Side::bottom, box.x0, panel.height_mm, box.x1, panel.height_mm);
  return living;
}

DeadZone zone_of(DeadZone zone, const Box& box, const Panel& panel, const Sides& living, Along leaps) {
  tell_kind(zone, box, panel, living, leaps);
  zone.x_mm = round_mm(box.x0), zone.y_mm = round_mm(box.y0);
  zone.width_mm = round_mm(box.width()), zone.height_mm = round_mm(box.height());
  return zone;
}

DeadZone zone_of(const Draft& draft, const Box& box, const Panel& panel, const Sides& living) {
  DeadZone facts;
  facts.lost = draft.facts.lost, facts.passages = draft.facts.passages;
  facts.intermittent = facts.lost < facts.passages;
  facts.confidence = round_share(std::min(draft.facts.confidence, surest));
  DeadZone zone = zone_of(facts, box, panel, living, draft.leaps());
  if (draft.edge) zone.kind = draft.facts.kind, zone.along = draft.facts.along;
  return zone;
}

}  // namespace

std::vector<DeadZone> dead_zones(const std::vector<std::uint8_t>& states, const ReportField& field,
                                 const Panel& panel, const std::vector<Silence>& silences,
                                 const std::vector<Repeat>& repeats, const std::vector<EdgeBand>& bands,
                                 const Voids& voids) {
  const Raster& raster = field.raster();
  const Regions regions = regions_where(states, raster, [](std::uint8_t state) {
    return state == static_cast<std::uint8_t>(CellState::silent) ||
           state == static_cast<std::uint8_t>(CellState::intermittent);
  });
  std::vector<Draft> drafts(regions.found.size());
  for (std::size_t label = 1; label < drafts.size(); ++label) {
    drafts[label].box = box_of(regions.found[label], raster, panel);
    drafts[label].pixels = regions.found[label].pixels;
  }
  for (std::size_t i = 0; i < silences.size(); ++i) {
    if (!repeats[i].fault) continue;
    const int column = raster.at((silences[i].from.x_mm + silences[i].to.x_mm) / 2);
    const int row = raster.at((silences[i].from.y_mm + silences[i].to.y_mm) / 2);
    if (!raster.holds(column, row)) continue;
    Draft& draft = drafts[label_at(regions, raster, column, row)];
    draft.facts.lost = std::max(draft.facts.lost, repeats[i].lost);
    draft.facts.passages = std::max(draft.facts.passages, repeats[i].passages);
    draft.facts.confidence = std::max(draft.facts.confidence, 1 - std::exp(repeats[i].log_chance));
    draft.leapt(silences[i].from, silences[i].to);
    draft.column += repeats[i].over == Repeat::Over::column;
    draft.row += repeats[i].over == Repeat::Over::row;
  }
  for (const EdgeBand& band : bands)
    for (const Point& place : band.places) {
      // The band begins where the strokes stop: look a little further out.
      const double out_mm = band.depth_mm / 2;
      const double x = band.side == Side::left    ? out_mm
                       : band.side == Side::right ? panel.width_mm - out_mm
                                                  : place.x_mm;
      const double y = band.side == Side::top      ? out_mm
                       : band.side == Side::bottom ? panel.height_mm - out_mm
                                                   : place.y_mm;
      const int column = raster.at(x), row = raster.at(y);
      if (!raster.holds(column, row)) continue;
      Draft& draft = drafts[label_at(regions, raster, column, row)];
      draft.facts.lost = draft.facts.passages = std::max(draft.facts.lost, band.stops);
      draft.facts.confidence = std::max(draft.facts.confidence, stops_confidence);
      draft.facts.kind = ZoneKind::edge_band;
      draft.facts.along = upright(band.side) ? Along::column : Along::row;
      draft.edge = true;
    }
  for (std::size_t at = 0; at < voids.regions.labels.size(); ++at) {
    const Void& v = voids.found[static_cast<std::size_t>(voids.regions.labels[at])];
    if (!v.dead) continue;
    Draft& draft = drafts[static_cast<std::size_t>(regions.labels[at])];
    draft.facts.lost = std::max(draft.facts.lost, v.crossings);
    draft.facts.passages = std::max(draft.facts.passages, draft.facts.lost);
    draft.facts.confidence = std::max(draft.facts.confidence, void_confidence);
  }
  join_pieces(drafts);
  std::vector<DeadZone> kept;
  for (std::size_t label = 1; label < drafts.size(); ++label) {
    const Draft& draft = drafts[label];
    if (draft.gone || draft.pixels * raster.pixel_mm * raster.pixel_mm < smallest_mm2) continue;
    const Sides living = living_sides(draft.box, field, panel);
    const auto cross =
        draft.edge ? std::nullopt : cross_of(regions, static_cast<std::int32_t>(label), raster);
    if (cross) {
      kept.push_back(zone_of(draft, on_glass(cross->column, panel), panel, living));
      kept.push_back(zone_of(draft, on_glass(cross->row, panel), panel, living));
    } else {
      kept.push_back(zone_of(draft, draft.box, panel, living));
    }
  }
  std::stable_sort(kept.begin(), kept.end(), [](const DeadZone& a, const DeadZone& b) {
    return a.width_mm * a.height_mm > b.width_mm * b.height_mm;
  });
  return kept;
}

std::vector<DeadZone> attested_zones(const std::vector<std::uint8_t>& states, const ReportField& field,
                                     const Panel& panel, double fingertip_mm) {
  const Raster& raster = field.raster();
  const Regions regions = regions_where(
      states, raster, [](std::uint8_t s) { return s == static_cast<std::uint8_t>(CellState::unswept); });
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
    DeadZone zone = zone_of({}, box_of(regions.found[label], raster, panel), panel, {}, Along::none);
    zone.attested = true;
    zones.push_back(zone);
  }
  return zones;
}

}  // namespace paneproof
