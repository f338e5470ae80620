#include "analyzer/measure/coverage.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/hull.hpp"
#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double end_off_mm = 1.0;   // a gap's ends are reported: this much of it is theirs
constexpr double core_mm = 1.0;      // this near the unreported way, the way decides
constexpr double fair_share = 0.25;  // of passages reported: from here on it is intermittent
constexpr double joined_mm = 20.0;   // silences of one line this near are one stretch of it

constexpr auto proven = static_cast<std::uint8_t>(CellState::proven);
constexpr auto silent = static_cast<std::uint8_t>(CellState::silent);
constexpr auto intermittent = static_cast<std::uint8_t>(CellState::intermittent);
constexpr auto unswept = static_cast<std::uint8_t>(CellState::unswept);

class Painter {
 public:
  Painter(const ReportField& field, std::vector<std::uint8_t>& states, double d)
      : field_(field), raster_(field.raster()), states_(states), half_mm_(d / 2) {}

  // Everything within half a fingertip of the way, where the way is nearer than any report.
  void way(Point a, Point b, std::uint8_t state) {
    const double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm, length2 = dx * dx + dy * dy;
    each_pixel(std::min(a.x_mm, b.x_mm) - half_mm_, std::max(a.x_mm, b.x_mm) + half_mm_,
               std::min(a.y_mm, b.y_mm) - half_mm_, std::max(a.y_mm, b.y_mm) + half_mm_,
               [&](double x, double y, std::size_t at) {
                 const double along =
                     length2 > 0 ? std::clamp(((x - a.x_mm) * dx + (y - a.y_mm) * dy) / length2, 0.0, 1.0)
                                 : 0.0;
                 const double off = length(x - a.x_mm - along * dx, y - a.y_mm - along * dy);
                 if (off <= half_mm_ && (off <= core_mm || off < field_.near_mm()[at])) paint(at, state);
               });
  }

  // The way between two reports, but for its ends.
  void gap(Point a, Point b, std::uint8_t state) {
    const double mm = length(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
    const double off = std::min(end_off_mm, mm / 4) / mm;
    const auto part = [&](double share) {
      return Point{a.x_mm + share * (b.x_mm - a.x_mm), a.y_mm + share * (b.y_mm - a.y_mm)};
    };
    way(part(off), part(1 - off), state);
  }

  // Everything in a rectangle that is not right at a report.
  void block(double x0, double x1, double y0, double y1, std::uint8_t state) {
    each_pixel(x0, x1, y0, y1, [&](double x, double y, std::size_t at) {
      if (x >= x0 && x <= x1 && y >= y0 && y <= y1 && !field_.any_within(x, y, core_mm)) paint(at, state);
    });
  }

  // Every pixel of that label that is wanted.
  template <class Wanted>
  void only(const std::vector<std::int32_t>& labels, std::int32_t label, Wanted wanted, std::uint8_t state) {
    for (int row = 0; row < raster_.rows; ++row)
      for (int column = 0; column < raster_.columns; ++column) {
        const std::size_t at = raster_.index(column, row);
        if (labels[at] != label || states_[at] == not_judged) continue;
        if (wanted(raster_.centre_mm(column), raster_.centre_mm(row))) paint(at, state);
      }
  }

 private:
  template <class Visit>
  void each_pixel(double x0, double x1, double y0, double y1, Visit visit) {
    const int left = std::max(0, raster_.at(x0)), right = std::min(raster_.columns - 1, raster_.at(x1));
    const int top = std::max(0, raster_.at(y0)), bottom = std::min(raster_.rows - 1, raster_.at(y1));
    for (int row = top; row <= bottom; ++row)
      for (int column = left; column <= right; ++column) {
        const std::size_t at = raster_.index(column, row);
        if (states_[at] != not_judged) visit(raster_.centre_mm(column), raster_.centre_mm(row), at);
      }
  }

  void paint(std::size_t at, std::uint8_t state) {
    if (states_[at] != silent) states_[at] = state;
  }

  const ReportField& field_;
  const Raster& raster_;
  std::vector<std::uint8_t>& states_;
  double half_mm_;
};

std::uint8_t state_of(const Repeat& repeat) {
  return repeat.passages - repeat.lost >= fair_share * repeat.passages ? intermittent : silent;
}

// Between silences of one line that follow each other closely, the line is faulty too.
void join_line(Painter& painter, const std::vector<Silence>& silences, const std::vector<Repeat>& repeats,
               Repeat::Over over) {
  const bool column = over == Repeat::Over::column;
  struct Crossing {
    double low, high, along;
    std::uint8_t state;
  };
  std::vector<Crossing> crossings;
  for (std::size_t i = 0; i < silences.size(); ++i) {
    if (!repeats[i].fault || repeats[i].over != over) continue;
    const Silence& s = silences[i];
    const double p = column ? s.from.x_mm : s.from.y_mm, q = column ? s.to.x_mm : s.to.y_mm;
    crossings.push_back({std::min(p, q) + end_off_mm, std::max(p, q) - end_off_mm,
                         column ? (s.from.y_mm + s.to.y_mm) / 2 : (s.from.x_mm + s.to.x_mm) / 2,
                         state_of(repeats[i])});
  }
  std::sort(crossings.begin(), crossings.end(),
            [](const Crossing& a, const Crossing& b) { return a.along < b.along; });
  for (std::size_t i = 0; i < crossings.size(); ++i)
    for (std::size_t j = i + 1; j < crossings.size() && crossings[j].along - crossings[i].along <= joined_mm;
         ++j) {
      const double low = std::max(crossings[i].low, crossings[j].low),
                   high = std::min(crossings[i].high, crossings[j].high);
      if (low >= high) continue;
      if (column)
        painter.block(low, high, crossings[i].along, crossings[j].along, crossings[i].state);
      else
        painter.block(crossings[i].along, crossings[j].along, low, high, crossings[i].state);
      break;
    }
}

void paint_band(Painter& painter, const EdgeBand& band, const Panel& panel, double d) {
  const double from = band.from_mm - d / 2, to = band.to_mm + d / 2;
  const double depth = band.depth_mm - end_off_mm / 2;
  switch (band.side) {
    case Side::left:
      painter.block(0, depth, from, to, silent);
      break;
    case Side::right:
      painter.block(panel.width_mm - depth, panel.width_mm, from, to, silent);
      break;
    case Side::top:
      painter.block(from, to, 0, depth, silent);
      break;
    case Side::bottom:
      painter.block(from, to, panel.height_mm - depth, panel.height_mm, silent);
      break;
  }
}

// The part of a void that lies among the places where fingers vanished and came back, the ways between these,
// and what lies beyond its barriers.
void paint_void(Painter& painter, const Voids& voids, std::size_t label) {
  const Void& v = voids.found[label];
  const Hull hull(v.ends);
  painter.only(
      voids.empty, static_cast<std::int32_t>(label), [&](double x, double y) { return hull.holds(x, y); },
      silent);
  for (std::size_t i = 0; i + 1 < v.ends.size(); i += 2) painter.gap(v.ends[i], v.ends[i + 1], silent);
  for (const Block& b : v.beyond) painter.block(b.left_mm, b.right_mm, b.top_mm, b.bottom_mm, silent);
}

}  // namespace

std::vector<std::uint8_t> pixel_states(const ReportField& field, const std::vector<std::uint8_t>& judged,
                                       const std::vector<Silence>& silences,
                                       const std::vector<Repeat>& repeats, const std::vector<EdgeBand>& bands,
                                       const Voids& voids, const Panel& panel, double fingertip_mm) {
  const Raster& raster = field.raster();
  std::vector<std::uint8_t> states(raster.size(), not_judged);
  const double half = fingertip_mm / 2;
  for (int row = 0; row < raster.rows; ++row)
    for (int column = 0; column < raster.columns; ++column) {
      const std::size_t at = raster.index(column, row);
      if (judged[at])
        states[at] =
            field.any_within(raster.centre_mm(column), raster.centre_mm(row), half) ? proven : unswept;
    }
  Painter painter(field, states, fingertip_mm);
  for (std::size_t i = 0; i < silences.size(); ++i) {
    if (!repeats[i].fault) continue;
    painter.gap(silences[i].from, silences[i].to, state_of(repeats[i]));
  }
  join_line(painter, silences, repeats, Repeat::Over::column);
  join_line(painter, silences, repeats, Repeat::Over::row);
  for (const EdgeBand& band : bands) paint_band(painter, band, panel, fingertip_mm);
  for (std::size_t label = 1; label < voids.found.size(); ++label)
    if (voids.found[label].dead) paint_void(painter, voids, label);
  return states;
}

Grid cells_of(const std::vector<std::uint8_t>& states, const Raster& raster, const Panel& panel,
              double cell_mm) {
  Grid grid;
  grid.cell_mm = cell_mm;
  grid.columns = std::max(1, static_cast<int>(std::ceil(panel.width_mm / cell_mm - 1e-9)));
  grid.rows = std::max(1, static_cast<int>(std::ceil(panel.height_mm / cell_mm - 1e-9)));
  const std::size_t count = static_cast<std::size_t>(grid.columns) * grid.rows;
  std::vector<std::array<int, 5>> shares(count, {0, 0, 0, 0, 0});
  for (int row = 0; row < raster.rows; ++row)
    for (int column = 0; column < raster.columns; ++column) {
      const int c = std::min(grid.columns - 1, static_cast<int>(raster.centre_mm(column) / cell_mm));
      const int r = std::min(grid.rows - 1, static_cast<int>(raster.centre_mm(row) / cell_mm));
      const std::uint8_t state = states[raster.index(column, row)];
      ++shares[static_cast<std::size_t>(r) * grid.columns + c][state == not_judged ? 4 : state];
    }
  grid.cells.resize(count);
  grid.masked.resize(count);
  // Worst first, so that of equal shares the worse wins.
  constexpr std::uint8_t by_weight[] = {silent, intermittent, unswept, proven};
  for (std::size_t i = 0; i < count; ++i) {
    std::uint8_t best = unswept;
    int most = 0, judged = 0;
    for (const std::uint8_t state : by_weight) {
      judged += shares[i][state];
      if (shares[i][state] > most) most = shares[i][state], best = state;
    }
    grid.cells[i] = static_cast<CellState>(best);
    grid.masked[i] = shares[i][4] > judged;
  }
  return grid;
}

Coverage shares_of(const std::vector<std::uint8_t>& states, const Raster& raster, const Panel& panel) {
  std::array<double, 4> count{};
  double judged = 0;
  for (const std::uint8_t state : states)
    if (state != not_judged) ++count[state], ++judged;
  Coverage coverage;
  Panel bare;
  bare.width_mm = panel.width_mm, bare.height_mm = panel.height_mm;
  const std::vector<std::uint8_t> on_glass = judged_pixels(raster, bare);
  const auto glass = static_cast<double>(std::count(on_glass.begin(), on_glass.end(), 1));
  const double pixel_mm2 = raster.pixel_mm * raster.pixel_mm;
  coverage.judged_mm2 = round_mm(judged * pixel_mm2);
  coverage.masked_mm2 = round_mm((glass - judged) * pixel_mm2);
  if (judged == 0) return coverage;
  coverage.proven = round_share(count[proven] / judged);
  coverage.silent = round_share(count[silent] / judged);
  coverage.intermittent = round_share(count[intermittent] / judged);
  coverage.unswept = round_share(count[unswept] / judged);
  return coverage;
}

}  // namespace paneproof
