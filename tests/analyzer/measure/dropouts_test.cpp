// No outside source: losses are where they were made.
#include "analyzer/measure/dropouts.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "analyzer/measure/analysis.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// Rows over a whole panel, 46 s of contact; contact is lost for 0.1 s at so many places, each on a row of its
// own.
Findings with_losses(int count, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> anywhere(12, 46);
  SweepMaker maker(68, 142);
  maker.noise(0.03, seed).rows(2);
  for (int k = 0; k < count; ++k) {
    const double x = anywhere(random), y = 9 + 8.0 * k;
    maker.lose(box(x, x + 9, y - 0.9, y + 0.9), Lost::contact);
  }
  return analyse(maker.trace(), {});
}

bool tells_bursts(const Findings& f) {
  return std::any_of(f.dead_zones.begin(), f.dead_zones.end(),
                     [](const DeadZone& z) { return z.kind == ZoneKind::bursts; });
}

}  // namespace

TEST_CASE("contact that is lost in motion again and again, each time elsewhere, is told as bursts") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4);
  INFO("seed " << seed);
  const Findings f = with_losses(14, seed);
  CHECK(tells_bursts(f));
  CHECK(f.dropouts.size() >= 12);
}

TEST_CASE("a hand that re-grips a few times in flight makes no bursts") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4);
  INFO("seed " << seed);
  const Findings f = with_losses(4, seed);
  CHECK_FALSE(tells_bursts(f));
  CHECK(f.dropouts.empty());
}

TEST_CASE("a loss that is found in two ways is told once, the way that was found first") {
  Silence loss;
  loss.from = {20, 30}, loss.to = {30, 30}, loss.t_s = 1.5, loss.gap_s = 0.1;
  Silence other = loss;
  other.t_s = 2.5;
  Findings f;
  tell_breaks({loss}, f);
  f.dropouts.at(0).lost = 7;
  tell_breaks({loss, other}, f);
  REQUIRE(f.dropouts.size() == 2);
  CHECK(f.dropouts[0].lost == 7);
}

TEST_CASE("losses at one place are that place's, not bursts") {
  const Findings f = analyse(
      SweepMaker(68, 142).noise(0.03, 5).rows(4).lose(box(30, 37, 0, 142), Lost::contact).trace(), {});
  CHECK_FALSE(tells_bursts(f));
  CHECK_FALSE(f.dead_zones.empty());
}

}  // namespace paneproof
