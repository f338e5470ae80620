#include "analyzer/measure/guarantee.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/analyzer/measure/points.hpp"
#include "tests/support/geos.hpp"

namespace paneproof {
namespace {

Circle circle_of(const Panel& panel, const Places& places) {
  const Field f(panel, places);
  return largest_untested_circle(f.field, f.panel, f.judged);
}

// The diameter is an upper bound: up to twice the search's tolerance above the truth, then rounded up.
constexpr double slack_mm = 2 * circle_tolerance_mm + 0.01 + 1e-9;

double nearest_mm(const Places& places, double x, double y) {
  double nearest = 1e9;
  for (const auto& [px, py] : places) nearest = std::min(nearest, std::hypot(px - x, py - y));
  return nearest;
}

}  // namespace

// JTS (LocationTech), LargestEmptyCircleTest, same in GEOS: "points of a square", centre (150, 150),
// radius 70.71; here moved by (-100, -100) so that the panel is the square.
TEST_CASE("four points at the corners leave the published circle in the middle") {
  const Circle circle = circle_of(panel_of(100, 100), {{0, 0}, {0, 100}, {100, 100}, {100, 0}});
  CHECK(circle.x_mm == Approx(50).margin(0.1));
  CHECK(circle.y_mm == Approx(50).margin(0.1));
  CHECK(circle.diameter_mm / 2 == Approx(70.71).margin(0.01));
}

// JTS LargestEmptyCircleTest with a boundary: points (2,2), (6,4), (8,8) in the square 1..9 give the
// corner (1, 9), radius 7.065 within 0.01 (exactly sqrt 50). The square is a rim of 1 mm here.
TEST_CASE("the centre of the circle is bound to the judged rectangle, as published") {
  const Circle circle = circle_of(panel_of(10, 10, 1), {{2, 2}, {6, 4}, {8, 8}});
  const bool upper = std::abs(circle.x_mm - 1) < 0.01 && std::abs(circle.y_mm - 9) < 0.01;
  CHECK(upper);  // (9, 1) is nearer to (6, 4): sqrt 18
  CHECK(circle.diameter_mm / 2 == Approx(7.065).margin(0.02));
  CHECK(circle.diameter_mm / 2 == Approx(std::sqrt(50.0)).margin(slack_mm));
}

// Covering radius of a square grid of pitch s is s / sqrt 2 (elementary geometry).
TEST_CASE("a square lattice of reports leaves circles of its pitch times the root of two") {
  const double pitch = GENERATE(2.0, 4.0, 5.6);
  Places lattice;
  for (int i = 0; i <= 14; ++i)
    for (int k = 0; k <= 14; ++k) lattice.push_back({i * pitch, k * pitch});
  const Circle circle = circle_of(panel_of(14 * pitch, 14 * pitch), lattice);
  CHECK(circle.diameter_mm >= pitch * std::sqrt(2.0));
  CHECK(circle.diameter_mm <= pitch * std::sqrt(2.0) + slack_mm);
}

// GEOS: LargestEmptyCircle, tolerance 0.001 mm. GEOS 3.11 keeps the centre inside the convex hull of the
// places, so the corners of the judged rectangle are places too: the hull is the judged rectangle then.
TEST_CASE("the largest untested circle is the one that GEOS finds") {
  constexpr double geos_tolerance = 0.001;
  const Geos geos;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    INFO("seed " << seed);
    std::mt19937_64 random(seed);
    const double width = 40 + static_cast<double>(random() % 60),
                 height = 40 + static_cast<double>(random() % 100);
    const double rim = static_cast<double>(random() % 4);
    Places places = {{0, 0}, {width, 0}, {width, height}, {0, height}};
    for (const auto& place : random_places(random, panel_of(width, height), static_cast<int>(random() % 300)))
      places.push_back(place);
    for (auto& [x, y] : places) x += rim, y += rim;
    const auto bounds = geos.rectangle(rim, rim, width + rim, height + rim);
    const double theirs =
        2 * geos.largest_empty_radius(geos.points(places).get(), bounds.get(), geos_tolerance);
    const double ours = circle_of(panel_of(width + 2 * rim, height + 2 * rim, rim), places).diameter_mm;
    CHECK(ours >= theirs - 1e-9);
    CHECK(ours <= theirs + 2 * geos_tolerance + slack_mm);
  }
}

TEST_CASE("the circle's centre is judged and its diameter is what the nearest report leaves") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    INFO("seed " << seed);
    std::mt19937_64 random(seed);
    Panel panel = panel_of(68, 90, 1.5);
    panel.corner_radius_mm = 9;
    panel.mask.push_back({MaskShape::Kind::circle, 34, 20, 12, 12, "camera"});
    panel.mask.push_back({MaskShape::Kind::rectangle, 20, 60, 15, 25, "notch"});
    const Places places = random_places(random, panel, 10 + static_cast<int>(random() % 60));
    const Circle circle = circle_of(panel, places);
    CHECK(circle.diameter_mm >= 2 * nearest_mm(places, circle.x_mm, circle.y_mm) - 0.003);
    CHECK(circle.diameter_mm <=
          2 * nearest_mm(places, circle.x_mm, circle.y_mm) + slack_mm + 0.003);  // place rounded to 0.001
    bool judged = false;  // within the place's rounding
    for (const double dx : {-0.0006, 0.0, 0.0006})
      for (const double dy : {-0.0006, 0.0, 0.0006})
        judged |= panel.judged(circle.x_mm + dx, circle.y_mm + dy);
    CHECK(judged);
    for (int i = 0; i < 2000; ++i) {
      const double x = std::uniform_real_distribution<double>(0, 68)(random),
                   y = std::uniform_real_distribution<double>(0, 90)(random);
      if (panel.judged(x, y) && 2 * nearest_mm(places, x, y) > circle.diameter_mm) {
        CAPTURE(x, y, circle.diameter_mm);
        FAIL_CHECK("a wider circle holds no report");
      }
    }
  }
}

TEST_CASE("without a report the circle is wider than the panel, without a judged place there is none") {
  CHECK(circle_of(panel_of(68, 142), {}).diameter_mm >= 2 * std::hypot(68.0, 142.0));
  CHECK(circle_of(panel_of(20, 20, 10.5), {{5, 5}}).diameter_mm == 0);
}

}  // namespace paneproof
