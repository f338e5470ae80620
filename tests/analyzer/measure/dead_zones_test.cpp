#include "analyzer/measure/dead_zones.hpp"

#include <catch2/catch.hpp>

#include "analyzer/measure/analysis.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// Does one of the zones lie over this place?
const DeadZone* zone_over(const Findings& findings, double x, double y) {
  for (const DeadZone& z : findings.dead_zones)
    if (x >= z.x_mm && x <= z.x_mm + z.width_mm && y >= z.y_mm && y <= z.y_mm + z.height_mm) return &z;
  return nullptr;
}

}  // namespace

TEST_CASE("a band that all rows lose is a line with its coordinate and width") {
  const double x = GENERATE(12.0, 30.0, 48.0);
  const double width = GENERATE(5.0, 7.0);
  const Findings f = analyse(
      SweepMaker(68, 142).noise(0.03, 4).rows(5).lose(box(x, x + width, 0, 142), Lost::contact).trace(), {});
  INFO("x " << x << ", width " << width);
  REQUIRE(f.dead_zones.size() == 1);
  const DeadZone& zone = f.dead_zones[0];
  CHECK(zone.kind == ZoneKind::line);
  CHECK(zone.along == Along::column);
  CHECK(zone.x_mm ==
        Approx(x).margin(2));  // a report's step on either side, a pixel and the rim that is the reports'
  CHECK(zone.x_mm + zone.width_mm == Approx(x + width).margin(2));
  CHECK(zone.height_mm > 120);
  CHECK(zone.lost >= 20);
  CHECK_FALSE(zone.attested);
  CHECK(zone.confidence > 0.9);
}

TEST_CASE("a band that all columns lose is a line along a row") {
  const Findings f = analyse(
      SweepMaker(68, 142).noise(0.03, 4).columns(4).lose(box(0, 68, 60, 66), Lost::contact).trace(), {});
  REQUIRE(f.dead_zones.size() == 1);
  CHECK(f.dead_zones[0].kind == ZoneKind::line);
  CHECK(f.dead_zones[0].along == Along::row);
  CHECK(f.dead_zones[0].y_mm == Approx(60).margin(2));
}

TEST_CASE("a dead place in the middle that rows and columns cross is an area over that place") {
  const Findings f = analyse(
      SweepMaker(68, 142).noise(0.03, 4).rows(4).columns(4).lose(box(25, 43, 60, 78), Lost::contact).trace(),
      {});
  const DeadZone* zone = zone_over(f, 34, 69);
  REQUIRE(zone != nullptr);
  CHECK(zone->kind == ZoneKind::area);
  CHECK(zone->width_mm == Approx(18).margin(4));
  CHECK(zone->height_mm == Approx(18).margin(4));
}

TEST_CASE("a sound sweep has no dead zone, and what was not swept is none") {
  CHECK(analyse(SweepMaker(68, 142).noise(0.05, 1, 0.07).rows(4).trace(), {}).dead_zones.empty());
  SweepMaker half(68, 142);
  half.noise(0.05, 1, 0.07);
  for (double y = 1; y < 70; y += 4) half.stroke({{1, y}, {67, y}});
  const Findings f = analyse(half.trace(), {});
  CHECK(f.dead_zones.empty());
  CHECK(f.coverage.unswept > 0.4);
  CHECK(f.coverage.silent == 0);
}

TEST_CASE("an attested zone is one that holds a circle wider than a fingertip, its cells stay unswept") {
  for (const double radius : {3.0, 7.0, 12.0}) {
    const Trace trace =
        SweepMaker(68, 142).noise(0.03, 2).rows(2).lose(disc(34, 70, radius), Lost::reports).trace();
    AnalysisOptions options;
    const Findings plain = analyse(trace, options);
    options.swept_all = true;
    const Findings attested = analyse(trace, options);
    INFO("radius " << radius);
    CHECK(attested.grid.cells == plain.grid.cells);
    int zones = 0;
    for (const DeadZone& zone : attested.dead_zones) zones += zone.attested;
    for (const DeadZone& zone : plain.dead_zones) CHECK_FALSE(zone.attested);
    if (radius < 4) CHECK(zones == 0);
  }
}

TEST_CASE("a place that nobody swept becomes a zone only by attestation") {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 2);
  for (double y = 1; y < 100; y += 4) maker.stroke({{1, y}, {67, y}});
  AnalysisOptions options;
  CHECK(analyse(maker.trace(), options).dead_zones.empty());
  options.swept_all = true;
  const Findings f = analyse(maker.trace(), options);
  const DeadZone* zone = zone_over(f, 34, 125);
  REQUIRE(zone != nullptr);
  CHECK(zone->attested);
  CHECK(zone->passages == 0);
  CHECK(f.grid.at(6, 24) == CellState::unswept);
}

TEST_CASE("zones lie on the panel") {
  for (std::uint64_t seed = 1; seed <= 25; ++seed) {
    INFO("seed " << seed);
    std::mt19937_64 random(seed);
    SweepMaker maker(68, 142);
    maker.noise(0.05, seed).rows(4).columns(5);
    for (int i = 0; i < 3; ++i)
      maker.lose(disc(static_cast<double>(random() % 69), static_cast<double>(random() % 143),
                      4 + static_cast<double>(random() % 9)),
                 random() % 2 ? Lost::contact : Lost::reports);
    AnalysisOptions options;
    options.swept_all = random() % 2;
    for (const DeadZone& zone : analyse(maker.trace(), options).dead_zones) {
      CHECK(zone.x_mm >= 0);
      CHECK(zone.y_mm >= 0);
      CHECK(zone.width_mm > 0);
      CHECK(zone.height_mm > 0);
      CHECK(zone.x_mm + zone.width_mm <= 68.0005);
      CHECK(zone.y_mm + zone.height_mm <= 142.0005);
      CHECK(zone.lost <= zone.passages);
      CHECK(zone.confidence >= 0);
      CHECK(zone.confidence <= 1);
    }
  }
}

}  // namespace paneproof
