#include "analyzer/measure/pinches.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/measure/swerves.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// Rows 6 mm apart that bow by up to bow_mm about (x, y): away from it, or all the same way.
Trace rows_about(double x, double y, double bow_mm, bool away, std::uint64_t seed) {
  SweepMaker maker(68, 142);
  maker.noise(0.03, seed);
  for (double row = y - 45; row <= y + 45; row += 6) {
    std::vector<Spot> way;
    for (double at = 1; at <= 67; at += 0.5) {
      const double off = std::hypot(at - x, row - y);
      const double bow = bow_mm * std::exp(-std::pow(off / 5, 2));
      way.push_back({at, row + (away && row < y ? -bow : bow)});
    }
    maker.stroke(way);
  }
  return maker.trace();
}

std::vector<Pinch> pinches_of(const Trace& trace) {
  const std::vector<std::uint8_t> counts(trace.contacts.size(), 1);
  return pinches(trace, counts, ReportField(trace, raster_over(trace.panel), counts));
}

}  // namespace

TEST_CASE("rows that bow away from a spot on both sides pinch it") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  const double x = std::uniform_real_distribution<double>(24, 44)(random);
  const std::vector<Pinch> found = pinches_of(rows_about(x, 70, 3, true, seed));
  REQUIRE(found.size() == 1);
  CHECK((found[0].from.x_mm + found[0].to.x_mm) / 2 == Approx(x).margin(2));
  CHECK((found[0].from.y_mm + found[0].to.y_mm) / 2 == Approx(70).margin(1.5));
}

TEST_CASE("straight rows, and rows that bow the same way, pinch nothing") {
  const std::uint64_t seed = GENERATE(1, 2, 3);
  INFO("seed " << seed);
  CHECK(pinches_of(rows_about(34, 70, 0, true, seed)).empty());
  CHECK(pinches_of(rows_about(34, 70, 3, false, seed)).empty());
}

TEST_CASE("a place that strokes swerve around is in doubt though every circle holds a report") {
  const Findings f = analyse(rows_about(34, 70, 2, true, 7), {});
  REQUIRE(f.doubts.size() == 1);
  CHECK(f.doubts[0].id == "swerves_around");
}

TEST_CASE("a bow is told as deep as it is, and towards where it bows") {
  const double bow_mm = GENERATE(1.5, -1.5, 2.5, -2.5);
  std::vector<Spot> way;
  for (double x = 1; x <= 67; x += 0.5)
    way.push_back({x, 50 + bow_mm * std::exp(-std::pow((x - 34) / 4, 2))});
  const Trace trace = SweepMaker(68, 142).stroke(way).trace();
  const std::vector<Swerve> found = swerves(trace, {1}, 1.0);
  REQUIRE(found.size() == 1);
  CHECK(found[0].mm == Approx(std::abs(bow_mm)).margin(0.2));
  CHECK(found[0].x_mm == Approx(34).margin(1));
  CHECK(found[0].towards_y * bow_mm > 0);
}

TEST_CASE("circles, corners and short strokes hold no swerve") {
  std::vector<Spot> circle;
  for (double a = 0; a < 12; a += 0.02) circle.push_back({34 + 15 * std::cos(a), 70 + 15 * std::sin(a)});
  const Trace turns = SweepMaker(68, 142)
                          .stroke(circle)
                          .stroke({{5, 5}, {40, 5}, {40, 60}})
                          .stroke({{10, 100}, {18, 102}})
                          .trace();
  CHECK(swerves(turns, {1, 1, 1}, 1.0).empty());
}

TEST_CASE("contacts that are no finger of the sweep hold no swerve") {
  const Trace trace = rows_about(34, 70, 3, true, 1);
  CHECK(swerves(trace, std::vector<std::uint8_t>(trace.contacts.size(), 0), 1.0).empty());
}

}  // namespace paneproof
