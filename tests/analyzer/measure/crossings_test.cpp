// Reference: the densities of the GNU Scientific Library (gsl_ran_gaussian_pdf).
#include "analyzer/measure/crossings.hpp"

#include <gsl/gsl_randist.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <vector>

namespace paneproof {

TEST_CASE("a crossing is weighed by a library's densities") {
  for (const double way : {4.0, 10.0, 22.0})
    for (const double excess : {-15.0, -3.0, 0.0, 4.0, 8.5, 14.0}) {
      const double mean = 8.5 - 0.2 * std::max(0.0, way - 10);
      const double dead = 0.95 * gsl_ran_gaussian_pdf(excess - mean, 3 + 0.1 * way) + 0.05 / 60;
      const double hand = 0.3 * gsl_ran_gaussian_pdf(excess - 0.5, 3) + 0.7 / 60;
      CAPTURE(way, excess);
      CHECK(log_ahead({{way + excess, way, 0.15}}) == Approx(std::log(dead / hand)).margin(1e-9));
    }
}

TEST_CASE(
    "a gap longer than the finger's way by two pitches speaks for a dead place, one of just its way against "
    "it") {
  CHECK(log_ahead({{18, 10, 0.12}}) > 1);
  CHECK(log_ahead({{10, 10, 0.12}}) < -1);
  CHECK(log_ahead({}) == 0);
}

TEST_CASE("a finger that takes its time may turn on a dead place: coming back short says little then") {
  CHECK(log_ahead({{20, 60, 0.15}}) < -2);
  CHECK(log_ahead({{20, 60, 0.5}}) > -0.3);
  CHECK(log_ahead({{18, 10, 0.5}}) > 0);
}

TEST_CASE("a hand that takes its time hops as far as it likes: coming back far says little then") {
  const std::vector<Crossing> slow(18, {23, 7, 0.47}), quick(18, {23, 7, 0.12});
  CHECK(log_ahead(slow) < 1);
  CHECK(log_ahead(quick) > log_ahead(slow) + 2);
}

TEST_CASE("a touch far from where a finger ended, at once, is another finger's") {
  CHECK(log_ahead({{100, 1, 0.01}}) < 0);
}

TEST_CASE("no hand comes down far ahead of itself in less than 0.09 s") {
  CHECK(log_ahead({{24, 4, 0.02}}) > 2);
  CHECK(log_ahead({{24, 4, 0.3}}) < log_ahead({{24, 4, 0.02}}));
}

TEST_CASE("gaps that exceed the finger's way alike, time after time, are no hand's") {
  const double scatter_mm = GENERATE(0.3, 6.0);
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5);
  CAPTURE(scatter_mm, seed);
  std::mt19937_64 random(seed);
  std::normal_distribution<double> off(0, scatter_mm);
  std::vector<Crossing> crossings;
  for (int k = 0; k < 12; ++k) {
    const double way_mm = 6 + k;
    crossings.push_back({way_mm + 5 + off(random), way_mm, 0.1});
  }
  CHECK((log_agreeing(crossings) > 0) == (scatter_mm < 1));
  for (Crossing& c : crossings) c.gap_mm -= 5;  // on the hand's own pace
  CHECK(log_agreeing(crossings) < 0);
}

TEST_CASE("gaps that exceed the way alike, but by more than a dead place does, agree in nothing") {
  const auto exceeding = [](double excess_mm) {
    std::vector<Crossing> crossings;
    for (int k = 0; k < 12; ++k) crossings.push_back({6.0 + k + excess_mm, 6.0 + k, 0.3});
    return log_agreeing(crossings);
  };
  CHECK(exceeding(8) > 5);
  CHECK(exceeding(20) < 0);
}

TEST_CASE("a landing far ahead of the finger's way is another finger's") {
  CHECK(by_another({217, 13, 0.06}));
  CHECK_FALSE(by_another({24, 11, 0.06}));  // three dead lines and a fingertip
  CHECK_FALSE(by_another({40, 80, 0.3}));   // a hand that comes down short
}

TEST_CASE("one crossing agrees with nothing") {
  CHECK(log_agreeing({}) == 0);
  CHECK(log_agreeing({{16, 8, 0.1}}) == 0);
}

}  // namespace paneproof
