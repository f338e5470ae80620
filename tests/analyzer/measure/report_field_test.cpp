#include "analyzer/measure/report_field.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/analyzer/measure/points.hpp"

namespace paneproof {
namespace {

double brute_mm(const Places& places, double x, double y) {
  double nearest = 1e18;
  for (const auto& [px, py] : places) nearest = std::min(nearest, (px - x) * (px - x) + (py - y) * (py - y));
  return std::sqrt(nearest);
}

struct Query {
  double x, y;
};

Query draw(std::mt19937_64& random, const Panel& panel) {
  std::uniform_real_distribution<double> x(-3, panel.width_mm + 3), y(-3, panel.height_mm + 3);
  const double first = x(random);
  return {first, y(random)};
}

}  // namespace

// 20 fields of 1 to 400 reports, 500 queries each, on and around the glass.
TEST_CASE("the nearest report is as far as a search through all of them says") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    std::mt19937_64 random(seed);
    const Panel panel =
        panel_of(30 + static_cast<double>(random() % 60), 30 + static_cast<double>(random() % 110));
    const Places places = random_places(random, panel, 1 + static_cast<int>(random() % 400));
    const Field f(panel, places);
    for (int i = 0; i < 500; ++i) {
      const Query q = draw(random, panel);
      const double expected = brute_mm(places, q.x, q.y);
      if (std::abs(f.field.nearest_mm(q.x, q.y) - expected) > 1e-9) {
        CAPTURE(seed, q.x, q.y, expected, f.field.nearest_mm(q.x, q.y));
        FAIL_CHECK("another distance");
      }
    }
  }
}

TEST_CASE("what lies within a radius is what a search through all reports finds") {
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    std::mt19937_64 random(seed);
    const Panel panel = panel_of(60, 90);
    const Places places = random_places(random, panel, 1 + static_cast<int>(random() % 600));
    const Field f(panel, places);
    for (int i = 0; i < 200; ++i) {
      const Query q = draw(random, panel);
      const double radius = static_cast<double>(random() % 12000) / 1000;
      std::size_t expected = 0, found = 0;
      for (const auto& [x, y] : places)
        expected += (x - q.x) * (x - q.x) + (y - q.y) * (y - q.y) <= radius * radius;
      f.field.some_within(q.x, q.y, radius, [&](std::uint32_t) { return ++found, false; });
      if (found != expected || f.field.any_within(q.x, q.y, radius) != (expected > 0)) {
        CAPTURE(seed, q.x, q.y, radius, expected, found);
        FAIL_CHECK("other reports");
      }
    }
  }
}

TEST_CASE("the coarse distance is within 0.71 pixel of the true one from every pixel") {
  std::mt19937_64 random(7);
  const Panel panel = panel_of(50, 70);
  const Places places = random_places(random, panel, 90);
  const Field f(panel, places);
  const double bound = std::sqrt(0.5) * f.raster.pixel_mm + 1e-4;
  for (int row = 0; row < f.raster.rows; ++row)
    for (int column = 0; column < f.raster.columns; ++column) {
      const double exact = brute_mm(places, f.raster.centre_mm(column), f.raster.centre_mm(row));
      if (std::abs(f.field.near_mm()[f.raster.index(column, row)] - exact) > bound) {
        CAPTURE(column, row, exact);
        FAIL_CHECK("out of its bound");
      }
    }
}

TEST_CASE("contacts that do not count leave no report in the field") {
  const Panel panel = panel_of(40, 40);
  Trace trace = trace_at(panel, {{10, 10}, {30, 30}});
  trace.contacts = {{0, 1, 0, Ending::lifted, Tool::finger}, {1, 1, 0, Ending::lifted, Tool::palm}};
  trace.reports[1].contact = 1;
  const ReportField field(trace, raster_over(panel), {1, 0});
  CHECK(field.nearest_mm(30, 30) == Approx(std::hypot(20, 20)));
  CHECK_FALSE(field.any_within(30, 30, 5));
}

TEST_CASE("an empty field is infinitely far from everything") {
  const Field f(panel_of(40, 40), {});
  CHECK(f.field.empty());
  CHECK(f.field.nearest_mm(20, 20) == 1e9);
  CHECK_FALSE(f.field.any_within(20, 20, 1000));
}

}  // namespace paneproof
