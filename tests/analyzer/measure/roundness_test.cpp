// Reference: circles that are known, as they were made. No outside source.
#include "analyzer/measure/roundness.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#include "tests/analyzer/measure/points.hpp"

namespace paneproof {
namespace {

const Panel panel = panel_of(70, 150);

// Rows over a disc at (35, 70) whose ends scatter along their way.
std::vector<Arrival> arrivals_at(double radius_mm, double apart_mm, double sd_mm, std::mt19937_64& random) {
  std::normal_distribution<double> scatter(0, sd_mm);
  std::vector<Arrival> arrivals;
  for (double y = -radius_mm + apart_mm / 3; y < radius_mm; y += apart_mm) {
    const double half = std::sqrt(radius_mm * radius_mm - y * y);
    arrivals.push_back({{35 - half + scatter(random), 70 + y}, 1, 0, false});
    arrivals.push_back({{35 + half + scatter(random), 70 + y}, -1, 0, true});
  }
  return arrivals;
}

}  // namespace

TEST_CASE("a circle is found through places that scatter about it, a stray among them") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5, 6);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  std::normal_distribution<double> scatter(0, 0.2);
  std::vector<Point> places;
  for (int k = 0; k < 16; ++k) {
    const double angle = k * std::numbers::pi / 8, off = 9 + scatter(random);
    places.push_back({40 + off * std::cos(angle), 60 + off * std::sin(angle)});
  }
  places.push_back({41, 61});
  const Round circle = circle_through(places);
  CHECK(circle.middle.x_mm == Approx(40).margin(0.4));
  CHECK(circle.middle.y_mm == Approx(60).margin(0.4));
  CHECK(circle.radius_mm == Approx(9).margin(0.4));
}

TEST_CASE("ends about a dead disc are mostly told from those of hands, and hands hardly ever from it") {
  const std::uint64_t seed = GENERATE(1, 2, 3);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  int round = 0, ragged = 0;
  for (int k = 0; k < 40; ++k) {
    round += log_round(arrivals_at(10, 3.5, 0.3, random), panel, 0.5) > 0;
    ragged += log_round(arrivals_at(10, 3.5, 2.5, random), panel, 0.5) < 0;
  }
  CHECK(round >= 36);
  CHECK(ragged >= 36);
}

TEST_CASE("too few ends, or ends too far apart, say nothing") {
  std::mt19937_64 random(9);
  std::vector<Arrival> few = arrivals_at(10, 3.5, 0.3, random);
  few.resize(4);
  CHECK(log_round(few, panel, 0.5) == 0);
  std::vector<Arrival> wide = arrivals_at(10, 3.5, 0.3, random);
  wide.push_back({{35, 125}, 0, -1, false});
  CHECK(log_round(wide, panel, 0.5) == 0);
}

}  // namespace paneproof
