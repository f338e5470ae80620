#include "analyzer/measure/bends.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// A row from x = 4 to 64 at y = 60 that swerves by `by_mm` downward (away from a place above) about x = 34.
Trace swerve(double by_mm) {
  std::vector<Spot> way;
  for (double x = 4; x <= 64; x += 0.5) way.push_back({x, 60 + by_mm * std::exp(-std::pow((x - 34) / 4, 2))});
  return SweepMaker(68, 142).stroke(way).trace();
}

// The stretch of the row within 6 mm of x = 34.
std::optional<double> bend_of(const Trace& trace, Point place) {
  std::uint32_t first = 0, last = 0;
  for (std::uint32_t i = 0; i < trace.reports.size(); ++i) {
    if (trace.reports[i].x < 28) first = i + 1;
    if (trace.reports[i].x <= 40) last = i;
  }
  return bend_mm(trace, 0, first, last, place);
}

}  // namespace

TEST_CASE("a swerve away from a place is told in mm, towards it negative") {
  const double by_mm = GENERATE(0.5, 1.5, 3.0);
  CHECK(bend_of(swerve(by_mm), {34, 55}).value() == Approx(by_mm).margin(0.1));
  CHECK(bend_of(swerve(by_mm), {34, 65}).value() == Approx(-by_mm).margin(0.1));
}

TEST_CASE("a straight row bends by nothing, slanted or not") {
  CHECK(bend_of(SweepMaker(68, 142).stroke({{4, 60}, {64, 60}}).trace(), {34, 55}).value() ==
        Approx(0).margin(0.01));
  CHECK(bend_of(SweepMaker(68, 142).stroke({{4, 50}, {64, 70}}).trace(), {34, 50}).value() ==
        Approx(0).margin(0.01));
}

TEST_CASE("a turn beside a place says nothing") {
  CHECK_FALSE(
      bend_of(SweepMaker(68, 142).stroke({{4, 60}, {34, 60}, {34, 90}}).trace(), {34, 55}).has_value());
  CHECK_FALSE(bend_of(SweepMaker(68, 142).stroke({{26, 60}, {64, 60}}).trace(), {34, 55}).has_value());
}

TEST_CASE("a contact that ends off its own line veers by that, away from a place or towards it") {
  const double by_mm = GENERATE(-2.0, -0.5, 0.0, 1.0, 3.0);
  const bool turned = GENERATE(false, true);  // begins beside the place instead
  std::vector<Spot> way = {{4, 50}, {34, 62}};
  way.push_back({40, 62 + 6 * 12 / 30.0 + by_mm});
  if (turned) std::reverse(way.begin(), way.end());
  const Trace trace = SweepMaker(68, 142).stroke(way).trace();
  std::uint32_t first = 0, last = trace.contacts[0].count - 1;
  for (std::uint32_t i = 0; i < trace.reports.size(); ++i) {
    if (turned && trace.reports[i].x > 34) last = i + 1;
    if (!turned && trace.reports[i].x <= 34) first = i;
  }
  const Report& tip = trace.reports[turned ? 0 : last];
  const double across_mm = by_mm * (tip.x - 34) / 6 * std::cos(std::atan2(12, 30));
  const Point above{60, 50}, below{50, 90};
  CHECK(veer_mm(trace, 0, first, last, above).value() == Approx(across_mm).margin(0.02));
  CHECK(veer_mm(trace, 0, first, last, below).value() == Approx(-across_mm).margin(0.02));
}

TEST_CASE("an arc that ends beside a place goes on round, and veers by nothing") {
  const double radius_mm = GENERATE(30.0, 60.0, 200.0);
  std::vector<Spot> arc;
  for (double way = 0; way <= 32; way += 0.5)
    arc.push_back(
        {4 + radius_mm * std::sin(way / radius_mm), 60 + radius_mm * (1 - std::cos(way / radius_mm))});
  const Trace trace = SweepMaker(68, 142).stroke(arc).trace();
  const std::uint32_t last = trace.contacts[0].count - 1;
  CHECK(std::abs(veer_mm(trace, 0, last - 8, last, {45, 55}).value()) < 0.3);
}

TEST_CASE("a contact too short, or bent before, does not tell how it veers") {
  const Trace brief = SweepMaker(68, 142).stroke({{26, 60}, {40, 60}}).trace();
  CHECK_FALSE(
      veer_mm(brief, 0, brief.contacts[0].count - 8, brief.contacts[0].count - 1, {50, 60}).has_value());
  std::vector<Spot> arc;
  for (double a = 0; a < 1.6; a += 0.05) arc.push_back({34 + 12 * std::cos(a), 60 + 12 * std::sin(a)});
  const Trace bent = SweepMaker(68, 142).stroke(arc).trace();
  CHECK_FALSE(veer_mm(bent, 0, bent.contacts[0].count - 4, bent.contacts[0].count - 1, {30, 80}).has_value());
}

}  // namespace paneproof
