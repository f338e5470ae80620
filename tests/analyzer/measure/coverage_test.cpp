#include "analyzer/measure/coverage.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "tests/analyzer/measure/points.hpp"
#include "tests/support/geos.hpp"

namespace paneproof {
namespace {

std::vector<std::uint8_t> states_of(const Field& f, double d) {
  return pixel_states(f.field, f.judged, {}, {}, {}, {}, f.panel, d);
}

// A pixel counts by its centre. Along an outline of length L about 4 L / (pi pixel) pixels are cut; each
// is wrong by its cut, spread evenly within half a pixel's area (uniform: variance 1/12). Five standard
// deviations of the sum are allowed.
double pixel_error_mm2(double outline_mm, double pixel_mm) {
  const double cut = 4 * outline_mm / (3.14159265358979 * pixel_mm);
  return 5 * pixel_mm * pixel_mm * std::sqrt(cut / 12);
}

}  // namespace

// GEOS: union of discs of radius d/2 about the reports (polygons of 256 corners, whose area is 1e-4
// short of the disc's), cut by the judged area.
TEST_CASE("the proven area is that of the union of discs that GEOS makes") {
  const Geos geos;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    INFO("seed " << seed);
    std::mt19937_64 random(seed);
    Panel panel = panel_of(68, 104.5, static_cast<double>(random() % 3));
    panel.mask.push_back({MaskShape::Kind::circle, 30, 40, 16, 16, "camera"});
    panel.mask.push_back({MaskShape::Kind::rectangle, 40.3, 70.2, 17.1, 9.7, "notch"});
    const double d = 5 + static_cast<double>(random() % 60) / 10;
    const Places places = random_places(random, panel, 20 + static_cast<int>(random() % 150));

    auto judged = geos.rectangle(panel.rim_mm, panel.rim_mm, 68 - panel.rim_mm, 104.5 - panel.rim_mm);
    judged = geos.without(judged.get(), geos.discs(geos.points({{30, 40}}).get(), 8, 64).get());
    judged = geos.without(judged.get(), geos.rectangle(40.3, 70.2, 57.4, 79.9).get());
    const auto proven = geos.both(geos.discs(geos.points(places).get(), d / 2, 64).get(), judged.get());

    const Field f(panel, places);
    const Coverage coverage = shares_of(states_of(f, d), f.raster, panel);
    const double judged_error = pixel_error_mm2(geos.length(judged.get()), f.raster.pixel_mm);
    CHECK(std::abs(coverage.judged_mm2 - geos.area(judged.get())) < judged_error + 0.02);
    const double ours = coverage.proven * coverage.judged_mm2, theirs = geos.area(proven.get());
    const double rounding = 0.5e-4 * coverage.judged_mm2;
    CHECK(std::abs(ours - theirs) <
          pixel_error_mm2(geos.length(proven.get()), f.raster.pixel_mm) + 1.1e-4 * theirs + rounding);
  }
}

TEST_CASE("proof reaches half a fingertip and no further") {
  const double d = GENERATE(6.0, 8.0, 9.5);
  const Field f(panel_of(40, 40), {{20.25, 20.25}});
  const std::vector<std::uint8_t> states = states_of(f, d);
  for (int row = 0; row < f.raster.rows; ++row)
    for (int column = 0; column < f.raster.columns; ++column) {
      const double off = std::hypot(f.raster.centre_mm(column) - 20.25, f.raster.centre_mm(row) - 20.25);
      if (std::abs(off - d / 2) < 1e-9) continue;
      const auto expected = off < d / 2 ? CellState::proven : CellState::unswept;
      if (states[f.raster.index(column, row)] != static_cast<std::uint8_t>(expected)) {
        CAPTURE(column, row, off);
        FAIL_CHECK("a point's state hangs on something else");
      }
    }
}

TEST_CASE("the shares of the judged area sum to one") {
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    INFO("seed " << seed);
    std::mt19937_64 random(seed);
    const Panel panel = panel_of(20 + static_cast<double>(random() % 30), 20);
    const Raster raster = raster_over(panel);
    std::vector<std::uint8_t> states(raster.size(), not_judged);
    for (int row = 0; row < raster.rows; ++row)
      for (int column = 0; column < raster.columns; ++column)
        states[raster.index(column, row)] =
            random() % 5 == 4 ? not_judged : static_cast<std::uint8_t>(random() % 4);
    const Coverage c = shares_of(states, raster, panel);
    CHECK(c.proven + c.silent + c.intermittent + c.unswept ==
          Approx(1).margin(2e-4));  // four roundings to 1e-4
    CHECK(c.judged_mm2 + c.masked_mm2 == Approx(raster.columns * raster.rows * 0.25).margin(0.001));
  }
}

TEST_CASE("a panel whose size is no whole number of pixels has nothing masked") {
  const Panel panel = panel_of(68.145, 142.3);
  const Field f(panel, {{10, 10}});
  CHECK(shares_of(states_of(f, 8), f.raster, panel).masked_mm2 == 0);
}

TEST_CASE("a panel without a judged place has no shares") {
  const Panel panel = panel_of(20, 20, 10.5);
  const Field f(panel, {{10, 10}});
  const Coverage c = shares_of(states_of(f, 8), f.raster, panel);
  CHECK(c.judged_mm2 == 0);
  CHECK(c.proven + c.silent + c.intermittent + c.unswept == 0);
}

// The definition, counted anew: the state of most of a cell's judged area, of equal shares the worse.
TEST_CASE("a cell has the state of most of its judged area, of equal shares the worse") {
  constexpr CellState worst_first[] = {CellState::silent, CellState::intermittent, CellState::unswept,
                                       CellState::proven};
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    std::mt19937_64 random(seed);
    const double cell_mm = 1 + static_cast<double>(random() % 9) / 2;  // few pixels: ties are common
    const Panel panel = panel_of(21.5, 17);
    const Raster raster = raster_over(panel);
    std::vector<std::uint8_t> states(raster.size(), not_judged);
    std::map<std::pair<int, int>, std::map<int, int>> counts;
    for (int row = 0; row < raster.rows; ++row)
      for (int column = 0; column < raster.columns; ++column) {
        const std::uint8_t state = random() % 6 == 5 ? not_judged : static_cast<std::uint8_t>(random() % 4);
        states[raster.index(column, row)] = state;
        ++counts[{static_cast<int>(std::floor((column + 0.5) * 0.5 / cell_mm)),
                  static_cast<int>(std::floor((row + 0.5) * 0.5 / cell_mm))}][state];
      }
    const Grid grid = cells_of(states, raster, panel, cell_mm);
    CHECK(grid.columns == static_cast<int>(std::ceil(21.5 / cell_mm)));
    CHECK(grid.rows == static_cast<int>(std::ceil(17 / cell_mm)));
    for (int r = 0; r < grid.rows; ++r)
      for (int c = 0; c < grid.columns; ++c) {
        auto& count = counts[{c, r}];
        int judged = 0, most = 0;
        CellState expected = CellState::unswept;
        for (const CellState state : worst_first) {
          const int n = count[static_cast<int>(state)];
          judged += n;
          if (n > most) most = n, expected = state;
        }
        if (grid.at(c, r) != expected || (grid.masked[static_cast<std::size_t>(r) * grid.columns + c] != 0) !=
                                             (count[not_judged] > judged)) {
          CAPTURE(seed, c, r, cell_mm);
          FAIL_CHECK("the cell's state is another");
        }
      }
  }
}

TEST_CASE("a place under the mask is never proven, whatever was reported there") {
  Panel panel = panel_of(40, 40, 2);
  panel.mask.push_back({MaskShape::Kind::rectangle, 10, 10, 10, 10, "notch"});
  Places everywhere;
  for (int i = 0; i <= 40; ++i)
    for (int k = 0; k <= 40; ++k) everywhere.push_back({i, k});
  const Field f(panel, everywhere);
  const std::vector<std::uint8_t> states = states_of(f, 8);
  const Grid grid = cells_of(states, f.raster, panel, 5);
  for (const int column : {2, 3})
    for (const int row : {2, 3}) {
      CHECK(grid.masked[static_cast<std::size_t>(row) * grid.columns + column] == 1);
      CHECK(grid.at(column, row) != CellState::proven);
    }
  const Coverage c = shares_of(states, f.raster, panel);
  CHECK(c.judged_mm2 == Approx(36 * 36 - 10 * 10));
  CHECK(c.masked_mm2 == Approx(40 * 40 - (36 * 36 - 10 * 10)));
}

}  // namespace paneproof
