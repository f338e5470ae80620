#include "analyzer/measure/voids.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/measure/void_parts.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// Rows 4 mm apart over a dead disc at (34, 70). Reports keep 4 mm to the living side of it: rows over it end
// before it and begin again beyond it, in the time that the finger takes from rim to rim, and rows that run
// past it bow away by 2 mm.
Trace rows_over_dead(double radius) {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 5);
  bool back = false;
  for (double y = 1; y < 142; y += 4, back = !back) {
    const double off = std::abs(y - 70), from = back ? 67 : 1, to = back ? 1 : 67, way = back ? -1 : 1;
    if (off < 0.8 * radius) {
      const double half = std::sqrt(radius * radius - off * off);
      maker.lift(2 * half / 100).stroke({{from, y}, {34 - way * (half + 4), y}});
      maker.lift(0.35).stroke({{34 + way * (half + 4), y}, {to, y}});
      continue;
    }
    std::vector<Spot> bowed;
    for (double x = from; back ? x >= to : x <= to; x += way * 0.5) {
      const double outside = std::max(0.0, std::hypot(x - 34, y - 70) - radius);
      bowed.push_back({x, y + (y > 70 ? 2 : -2) * std::exp(-std::pow(outside / 4, 2))});
    }
    maker.stroke(bowed);
  }
  return maker.trace();
}

bool fails_at(const Findings& f, double x, double y) {
  for (const DeadZone& z : f.dead_zones)
    if (x >= z.x_mm && x <= z.x_mm + z.width_mm && y >= z.y_mm && y <= z.y_mm + z.height_mm) return true;
  return false;
}

CellState state_at(const Findings& f, double x, double y) {
  return f.grid.at(static_cast<int>(x / f.grid.cell_mm), static_cast<int>(y / f.grid.cell_mm));
}

}  // namespace

TEST_CASE("fingers that vanish beside a void, come back beyond it and swerve about it tell a dead place") {
  const double radius = GENERATE(6.0, 8.0);
  const Findings f = analyse(rows_over_dead(radius), {});
  CHECK(fails_at(f, 34, 70));
}

TEST_CASE("a neat hole is not swept, never dead") {
  // The hand leaves the place out: rows end before it and begin again beyond it, in their own time.
  SweepMaker maker(68, 142);
  maker.noise(0.03, 6);
  for (double y = 1; y < 142; y += 5) {
    if (std::abs(y - 70) < 9) {
      maker.stroke({{1, y}, {24 + std::fmod(y * 7, 4), y}}).lift(0.4 + std::fmod(y, 3) / 4);
      maker.stroke({{44 - std::fmod(y * 5, 4), y}, {67, y}}).lift(0.35);
    } else {
      maker.stroke({{1, y}, {67, y}});
    }
  }
  const Findings f = analyse(maker.trace(), {});
  CHECK(f.dead_zones.empty());
  CHECK(f.coverage.unswept > 0.005);
}

TEST_CASE("a sweep without a void has none to tell") {
  const Trace trace = SweepMaker(68, 142).rows(4).trace();
  const std::vector<std::uint8_t> counts(trace.contacts.size(), 1);
  const Raster raster = raster_over(trace.panel);
  const ReportField field(trace, raster, counts);
  CHECK(voids(trace, counts, {}, {}, field, judged_pixels(raster, trace.panel), 8).found.size() == 1);
}

TEST_CASE("strokes that all stop at one line with a living strip beyond it tell a dead line") {
  // Scribbles from the right that stop at x = 16; a run at x = 2 shows that the strip beyond is alive.
  SweepMaker maker(68, 142);
  maker.noise(0.05, 7);
  for (double y = 4; y < 140; y += 5) maker.stroke({{60, y}, {16.2, y + 3}}).lift(0.9);
  maker.stroke({{2, 2}, {2, 140}}).stroke({{1.5, 140}, {1.5, 2}});
  CHECK(fails_at(analyse(maker.trace(), {}), 9, 70));
}

TEST_CASE("a margin that the hand left out is not dead where a dead line meets it") {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 7);
  for (double y = 11; y < 132; y += 5) maker.stroke({{12 + std::fmod(y * 7, 3), y}, {66, y}});
  for (double x = 14; x < 68; x += 5)
    maker.stroke({{x, 11 + std::fmod(x * 5, 3)}, {x, 131 - std::fmod(x * 3, 3)}});
  maker.lose(box(0, 50, 63, 79), Lost::contact);
  const Findings f = analyse(maker.trace(), {});
  CHECK(fails_at(f, 30, 71));
  for (const double y : {20.0, 40.0, 100.0, 120.0}) CHECK(state_at(f, 4, y) == CellState::unswept);
  for (const double x : {20.0, 40.0, 60.0}) CHECK(state_at(f, x, 4) == CellState::unswept);
}

namespace {

// A panel covered all over but for these places.
struct Bare {
  Raster raster = raster_over(SweepMaker(68, 142).rows(5).trace().panel);
  std::vector<std::uint8_t> covered = std::vector<std::uint8_t>(raster.size(), 1);
  void uncover(double left, double right, double top, double bottom) {
    for (int row = raster.at(top); row < raster.at(bottom); ++row)
      for (int column = raster.at(left); column < raster.at(right); ++column)
        covered[raster.index(column, row)] = 0;
  }
  bool in_margin(double x, double y) const {
    return margins(raster, covered)[raster.index(raster.at(x), raster.at(y))] > 0;
  }
  std::size_t parts() const {
    std::vector<std::uint8_t> core(covered.size());
    for (std::size_t i = 0; i < core.size(); ++i) core[i] = !covered[i];
    const Regions whole = regions_of(core, raster.stride(), raster.height(), 0);
    return parts_of(whole, margins(raster, covered), raster).found.size() - 1;
  }
};

}  // namespace

TEST_CASE("what is longer along a side than deep is a margin, a dead line's end at the side is none") {
  Bare panel;
  panel.uncover(0, 6, 0, 142);     // a margin along the left side
  panel.uncover(0, 40, 66, 74);    // a line that begins there
  panel.uncover(30, 38, 90, 142);  // a line that ends at the bottom
  CHECK(panel.in_margin(3, 20));
  CHECK(panel.in_margin(3, 130));
  CHECK_FALSE(panel.in_margin(20, 70));
  CHECK_FALSE(panel.in_margin(34, 120));
  CHECK_FALSE(panel.in_margin(34, 141));
  CHECK(panel.parts() == 3);  // the margin, the line without its end in it, the other line
}

TEST_CASE("a margin all around is judged side by side, one along a side or about a corner as one") {
  Bare around, side, corner;
  around.uncover(0, 68, 0, 9), around.uncover(0, 68, 133, 142), around.uncover(0, 9, 0, 142),
      around.uncover(59, 68, 0, 142);
  side.uncover(59, 68, 20, 142);
  corner.uncover(0, 68, 0, 9), corner.uncover(0, 9, 0, 142);
  CHECK(around.parts() == 4);
  CHECK(side.parts() == 1);
  CHECK(corner.parts() == 1);
}

}  // namespace paneproof
