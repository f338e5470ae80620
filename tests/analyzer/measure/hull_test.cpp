#include "analyzer/measure/hull.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

namespace paneproof {

TEST_CASE("a hull holds all of its points and their means") {
  const unsigned seed = 4711;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  const auto draw = [&] { return static_cast<double>(random() % 100'000) / 1000; };
  for (int round = 0; round < 100; ++round) {
    std::vector<Point> points(3 + random() % 20);
    for (Point& p : points) p = {draw(), draw()};
    const Hull hull(points);
    for (std::size_t i = 1; i < points.size(); ++i)
      CHECK(hull.holds((points[0].x_mm + points[i].x_mm) / 2, (points[0].y_mm + points[i].y_mm) / 2));
  }
}

TEST_CASE("a point is out of a hull when a line parts it from all points") {
  const unsigned seed = 4712;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  const auto draw = [&] { return static_cast<double>(random() % 100'000) / 1000; };
  int out = 0;
  for (int round = 0; round < 100; ++round) {
    std::vector<Point> points(3 + random() % 12);
    for (Point& p : points) p = {draw(), draw()};
    const Hull hull(points);
    const Point q{draw(), draw()};
    // Parted: for some direction of many, q lies further than every point.
    bool parted = false;
    for (int k = 0; k < 720 && !parted; ++k) {
      const double a = k * 3.14159265358979 / 360, ux = std::cos(a), uy = std::sin(a);
      double furthest = -1e9;
      for (const Point& p : points) furthest = std::max(furthest, p.x_mm * ux + p.y_mm * uy);
      parted = q.x_mm * ux + q.y_mm * uy > furthest;
    }
    if (!parted) continue;
    CHECK_FALSE(hull.holds(q.x_mm, q.y_mm));
    ++out;
  }
  CHECK(out > 20);
}

TEST_CASE("points on one line hold nothing") {
  CHECK_FALSE(Hull({{0, 0}, {1, 1}, {2, 2}}).holds(0.5, 0.6));
  CHECK_FALSE(Hull({}).holds(0, 0));
}

}  // namespace paneproof
