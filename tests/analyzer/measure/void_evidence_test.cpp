#include "analyzer/measure/void_evidence.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <gsl/gsl_statistics_double.h>
#include <random>
#include <vector>

#include "analyzer/measure/alignment.hpp"
#include "tests/analyzer/measure/points.hpp"

namespace paneproof {
namespace {

const Panel panel = panel_of(70, 150);

// Crossings of a column strip from x = 20 to 36, aimed with this standard deviation on each side.
Void strip_with(int crossings, double left_mm, double right_mm, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> scatter;
  Void v;
  v.crossings = crossings, v.strip = true;
  for (int k = 0; k < crossings; ++k) {
    v.arrivals.push_back({{20 + left_mm * scatter(random), 5.0 * k}, 1, 0, false});
    v.arrivals.push_back({{36 + right_mm * scatter(random), 5.0 * k}, -1, 0, true});
  }
  v.log_aligned = log_aligned(v.arrivals, panel, 0.5);
  return v;
}

// Signs of every kind, some of them speaking against.
Void some_void(std::mt19937_64& random) {
  const auto upto = [&](double most) { return std::uniform_real_distribution<double>(0, most)(random); };
  Void v;
  v.crossings = 1 + static_cast<int>(upto(12)), v.alive = static_cast<int>(upto(v.crossings));
  v.bends = static_cast<int>(upto(6)), v.bend_mm = upto(4) - 2;
  for (int k = static_cast<int>(upto(8)); k > 0; --k) v.shifts.add(upto(4) - 2);
  v.barriers_log_chance = -upto(30), v.log_aligned = upto(20) - 10;
  return v;
}

}  // namespace

TEST_CASE("crossings alone, however many, are no fault") {
  Void v;
  CHECK_FALSE(dead(v, 0));
  for (v.crossings = 1; v.crossings <= 40; ++v.crossings) CHECK_FALSE(dead(v, 0));
}

TEST_CASE("no single sign but repeated silences makes a void dead before it is strong") {
  Void kept, bent, stopped;
  kept.crossings = bent.crossings = stopped.crossings = 3;
  kept.alive = 3;
  bent.bends = 2, bent.bend_mm = 0.8, bent.shifts.add(0.8), bent.shifts.add(0.8);
  stopped.barriers_log_chance = -8;
  CHECK_FALSE(dead(kept, 0));
  CHECK_FALSE(dead(bent, 0));
  CHECK_FALSE(dead(stopped, 0));
  CHECK(dead(kept, 3));
  bent.alive = 3;
  CHECK(dead(bent, 0));
}

TEST_CASE("every sign that grows makes a void likelier dead, none less likely") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int k = 0; k < 200; ++k) {
    const Void v = some_void(random);
    const double odds = log_odds(v, 1);
    const auto grown = [&](auto grow) {
      Void more = v;
      grow(more);
      return log_odds(more, 1);
    };
    CHECK(log_odds(v, 2) > odds);
    CHECK(grown([](Void& m) { m.alive = m.crossings; }) >= odds);
    CHECK(grown([](Void& m) { m.barriers_log_chance -= 2; }) >= odds);
    CHECK(grown([](Void& m) { m.log_aligned += 1; }) >= odds);
    CHECK(grown([](Void& m) { m.bend_mm += 0.5; }) >= odds);
  }
}

TEST_CASE("crossings that end straight tell a dead strip, those that a hand aims do not") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5, 6, 7, 8);
  INFO("seed " << seed);
  CHECK(dead(strip_with(20, 0.2, 0.3, seed), 0));
  Void aimed = strip_with(20, 0.9, 2.5, seed);
  aimed.barriers_log_chance = -20;
  CHECK_FALSE(dead(aimed, 0));
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
