#include "analyzer/measure/void_evidence.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <gsl/gsl_statistics_double.h>
#include <random>
#include <vector>

namespace paneproof {
namespace {

// Crossings of a column strip from x = 20 to 36, aimed with this standard deviation on each side.
Void strip_with(int crossings, double left_mm, double right_mm, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> scatter;
  Void v;
  v.crossings = crossings;
  for (int k = 0; k < crossings; ++k) {
    v.ends.push_back({20 + left_mm * scatter(random), 5.0 * k});
    v.ends.push_back({36 + right_mm * scatter(random), 5.0 * k});
  }
  return v;
}

}  // namespace

TEST_CASE("crossings alone, however many, are no fault") {
  CHECK_FALSE(dead(strip_with(40, 0.1, 0.1, 1), 0, Along::column));
  CHECK_FALSE(dead(Void{}, 0, Along::none));
}

TEST_CASE("a place crossed three times with the contact kept is dead") {
  Void v;
  v.crossings = 3, v.alive = 2;
  CHECK_FALSE(dead(v, 0, Along::none));
  v.alive = 3;
  CHECK(dead(v, 0, Along::none));
}

TEST_CASE("barriers tell a dead strip where its crossings end straight, not where a hand aims") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5, 6, 7, 8);
  INFO("seed " << seed);
  Void straight = strip_with(20, 0.3, 0.5, seed), aimed = strip_with(20, 0.6, 2.5, seed);
  straight.barriers_log_chance = aimed.barriers_log_chance = -20;
  CHECK(dead(straight, 0, Along::column));
  CHECK_FALSE(dead(aimed, 0, Along::column));
  CHECK(dead(aimed, 0, Along::none));  // an area's border is no straight line
}

TEST_CASE("bends beside a place that many contacts end at right on their line tell nothing") {
  Void v;
  v.crossings = 10, v.bends = 3, v.bend_mm = 1.2;
  for (int k = 0; k < 3; ++k) v.shifts.add(1.2);
  CHECK(dead(v, 0, Along::none));
  for (int k = 0; k < 30; ++k) v.shifts.add(0);
  CHECK_FALSE(dead(v, 0, Along::none));
}

// Outside check: mean and variance by the GNU Scientific Library.
TEST_CASE("shifts have the mean and error that a statistics library tells") {
  std::mt19937_64 random(11);
  std::normal_distribution<double> scatter(0.7, 1.3);
  Shifts shifts;
  std::vector<double> values;
  for (int k = 0; k < 25; ++k) values.push_back(scatter(random)), shifts.add(values.back());
  const double mean = gsl_stats_mean(values.data(), 1, values.size());
  const double squares = gsl_stats_variance_m(values.data(), 1, values.size(), mean) * 24;
  CHECK(shifts.mean_mm == Approx(mean).epsilon(1e-12));
  CHECK(shifts.over_error() == Approx(mean / std::sqrt((squares + 1) / 25 / 25)).epsilon(1e-9));
  CHECK(Shifts{}.over_error() == 0);
}

}  // namespace paneproof
