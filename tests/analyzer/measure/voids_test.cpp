#include "analyzer/measure/voids.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "analyzer/measure/analysis.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// Rows 5 mm apart about a place of `radius` at (34, 70). Electrodes there are dead when `pushed`: reports of
// rows that run past it are pushed away, up to `pushed` mm.
SweepMaker rows_about(double radius, double pushed) {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 5);
  bool back = false;
  for (double y = 1; y < 142; y += 5, back = !back) {
    std::vector<Spot> way;
    for (double x = 1; x <= 67; x += 0.5) {
      const double dx = x - 34, dy = y - 70, off = std::hypot(dx, dy);
      const bool over_it = std::abs(dy) < 0.8 * radius;  // lost there, not pushed
      const double push = over_it ? 0 : pushed * std::exp(-std::pow(std::max(0.0, off - radius) / 4, 2));
      way.push_back({x, y + (dy > 0 ? push : -push)});
    }
    if (back) std::reverse(way.begin(), way.end());
    maker.stroke(way);
  }
  return maker;
}

bool fails_at(const Findings& f, double x, double y) {
  for (const DeadZone& z : f.dead_zones)
    if (x >= z.x_mm && x <= z.x_mm + z.width_mm && y >= z.y_mm && y <= z.y_mm + z.height_mm) return true;
  return false;
}

}  // namespace

TEST_CASE("fingers that vanish beside a void, come back beyond it and swerve about it tell a dead place") {
  const double radius = GENERATE(6.0, 8.0);
  const Findings f = analyse(rows_about(radius, 2).lose(disc(34, 70, radius), Lost::contact).trace(), {});
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

}  // namespace paneproof
