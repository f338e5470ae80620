#include "analyzer/measure/edges.hpp"

#include <catch2/catch.hpp>

#include "analyzer/measure/analysis.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

Edges edges_of(const SweepMaker& maker) {
  const Trace trace = maker.trace();
  return edges(trace, std::vector<std::uint8_t>(trace.contacts.size(), 1), AnalysisOptions{}.edge_deeper_mm,
               nullptr);
}

// Reports that lie nearer to the left side than `depth` are lost: strokes end there in full motion.
SweepMaker deaf_at_left(double depth_mm) {
  SweepMaker maker(68, 142);
  return maker.noise(0.05, 8).rows(4).lose(box(-9, depth_mm, -9, 200), Lost::contact);
}

}  // namespace

TEST_CASE("an edge's depth is the nearest report to it") {
  SweepMaker maker(68, 142);
  maker.stroke({{3, 20}, {60, 20}}).stroke({{30, 5}, {30, 131}});
  const EdgeDepth depth = edges_of(maker).nearest;
  CHECK(depth.left_mm == Approx(3).margin(0.01));
  CHECK(depth.right_mm == Approx(8).margin(1));
  CHECK(depth.top_mm == Approx(5).margin(0.01));
  CHECK(depth.bottom_mm == Approx(11).margin(1));
}

TEST_CASE("strokes that all stop at one depth, deeper than opposite, make a band of that depth") {
  const double depth_mm = GENERATE(6.0, 8.0, 9.5, 20.0);
  const Edges e = edges_of(deaf_at_left(depth_mm));
  REQUIRE(e.bands.size() == 1);
  CHECK(e.bands[0].side == Side::left);
  CHECK(e.bands[0].depth_mm == Approx(depth_mm).margin(1));
  CHECK(e.bands[0].from_mm < 10);
  CHECK(e.bands[0].to_mm > 130);
  CHECK(e.bands[0].stops >= 20);
}

TEST_CASE("three ends and three beginnings at one depth exactly make a band, a few mm apart they make none") {
  const auto six = [](double apart_mm) {
    SweepMaker maker(68, 142);
    maker.noise(0.02, 8);
    for (int k = 0; k < 3; ++k) {
      const double y = 20 + 40 * k, off = apart_mm * k;
      maker.stroke({{67, y}, {9 + off, y}}).stroke({{9.5 + off, y + 20}, {67, y + 20}});
    }
    return edges_of(maker).bands.size();
  };
  CHECK(six(0) == 1);
  CHECK(six(1) == 0);
}

// Edge filters stop short by design: alike on opposite sides.
TEST_CASE("the same stop on opposite sides makes no band") {
  const double depth_mm = GENERATE(2.0, 4.0, 7.0);
  CHECK(edges_of(deaf_at_left(depth_mm).lose(box(68 - depth_mm, 80, -9, 200), Lost::contact)).bands.empty());
}

TEST_CASE("a sweep from edge to edge makes no band") {
  CHECK(edges_of(SweepMaker(68, 142).noise(0.05, 8).rows(4).columns(4)).bands.empty());
}

// An edge filter that cuts one side deeper than the other is the model's, when a good panel shows the same.
TEST_CASE("a side as deep as on a known-good panel makes no band") {
  const Trace trace = deaf_at_left(7).trace();
  const std::vector<std::uint8_t> counts(trace.contacts.size(), 1);
  REQUIRE(edges(trace, counts, 2, nullptr).bands.size() == 1);
  const EdgeDepth same{7, 1, 1, 1}, shallower{3, 1, 1, 1};
  CHECK(edges(trace, counts, 2, &same).bands.empty());
  CHECK(edges(trace, counts, 2, &shallower).bands.size() == 1);
}

TEST_CASE("one report nearer to the side than the stops takes the band away") {
  SweepMaker maker = deaf_at_left(9);
  for (double y = 10; y < 140; y += 10) maker.stroke({{20, y}, {2, y}});
  CHECK(edges_of(maker).bands.empty());
}

TEST_CASE("a finger reported along the side within the band takes the band away") {
  const double at_mm = GENERATE(1.0, 4.0);
  SweepMaker maker = deaf_at_left(7);
  REQUIRE(edges_of(maker).bands.size() == 1);
  CHECK(edges_of(maker.stroke({{at_mm, 20}, {at_mm, 120}})).bands.empty());
}

TEST_CASE("nothing reported: no depth, no band") {
  const Edges e = edges_of(SweepMaker(68, 142));
  CHECK(e.bands.empty());
  CHECK(e.nearest.left_mm == 0);
}

}  // namespace paneproof
