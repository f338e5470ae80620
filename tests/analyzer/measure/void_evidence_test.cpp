#include "analyzer/measure/void_evidence.hpp"

#include <catch2/catch.hpp>
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
  v.faults = 1, v.crossings = 1 + static_cast<int>(upto(12)), v.alive = static_cast<int>(upto(v.crossings));
  for (int k = static_cast<int>(upto(8)); k > 0; --k) v.shifts_mm.push_back(upto(4) - 2);
  for (int k = static_cast<int>(upto(6)); k > 0; --k) v.paced.push_back({upto(30), upto(25), upto(0.5)});
  v.log_round = upto(10) - 5;
  v.barriers_log_chance = -upto(30), v.log_aligned = upto(20) - 10;
  return v;
}

}  // namespace

TEST_CASE("crossings alone, however many, are no fault") {
  Void v;
  CHECK_FALSE(dead(v));
  for (v.crossings = 1; v.crossings <= 40; ++v.crossings) CHECK_FALSE(dead(v));
}

TEST_CASE("no single sign but repeated silences or sure barriers makes a void dead") {
  Void kept, bent, stopped;
  kept.crossings = bent.crossings = stopped.crossings = 3;
  kept.alive = 3;
  bent.shifts_mm = {1.5, 1.5};
  stopped.barriers_log_chance = -8;
  CHECK_FALSE(dead(kept));
  CHECK_FALSE(dead(bent));
  CHECK_FALSE(dead(stopped));
  kept.faults = 3;
  CHECK(dead(kept));
  stopped.barriers_log_chance = -50, stopped.strip = true, stopped.log_aligned = -10;
  CHECK(dead(stopped));
  bent.barriers_log_chance = -12, bent.alive = 3;
  CHECK(dead(bent));
}

TEST_CASE("every sign that grows makes a void likelier dead, none less likely") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int k = 0; k < 200; ++k) {
    const Void v = some_void(random);
    const double odds = log_odds(v);
    const auto grown = [&](auto grow) {
      Void more = v;
      grow(more);
      return log_odds(more);
    };
    CHECK(grown([](Void& m) { m.faults = 2; }) > odds);
    CHECK(grown([](Void& m) { m.alive = m.crossings; }) >= odds);
    CHECK(grown([](Void& m) { m.barriers_log_chance -= 2; }) >= odds);
    CHECK(grown([](Void& m) { m.log_aligned += 1; }) >= odds);
    CHECK(grown([](Void& m) { m.log_round += 1; }) >= odds);
    CHECK(grown([](Void& m) { m.shifts_mm.push_back(2); }) >= odds);
  }
}

TEST_CASE("crossings that end straight tell a dead strip, those that a hand aims do not") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5, 6, 7, 8);
  INFO("seed " << seed);
  CHECK(dead(strip_with(20, 0.2, 0.3, seed)));
  Void aimed = strip_with(20, 0.9, 2.5, seed);
  aimed.barriers_log_chance = -20;
  CHECK_FALSE(dead(aimed));
}

TEST_CASE("fingers that come back just where their own pace leads speak against a dead place") {
  Void ahead, on_pace, none;
  ahead.crossings = on_pace.crossings = none.crossings = 6;
  for (int k = 0; k < 6; ++k) ahead.paced.push_back({18, 10, 0.1}), on_pace.paced.push_back({18, 18, 0.2});
  CHECK(dead(ahead));
  CHECK(log_odds(on_pace) < log_odds(none));
}

TEST_CASE("gaps of a hand over a strip, many times, outweigh the lines on which it turns") {
  Void v;
  v.barriers_log_chance = -19.8, v.shifts_mm = {1.5, 1.5}, v.log_aligned = 2.2, v.crossings = 3;
  CHECK(dead(v));
  std::mt19937_64 random(3);
  std::uniform_real_distribution<double> way_mm(17, 50);
  for (v.crossings = 3; v.crossings < 45; ++v.crossings) v.paced.push_back({22.5, way_mm(random), 0.45});
  CHECK_FALSE(dead(v));
}

}  // namespace paneproof
