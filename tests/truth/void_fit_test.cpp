#include "tests/truth/void_fit.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

namespace paneproof {
namespace {

constexpr int seen = 4;  // signs that the made-up voids show

std::vector<StudiedVoid> drawn(int count, const std::array<double, seen>& weights, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> strength;
  std::uniform_real_distribution<double> chance;
  std::vector<StudiedVoid> voids;
  for (int k = 0; k < count; ++k) {
    StudiedVoid v;
    double odds = 0;
    for (std::size_t s = 0; s < seen; ++s) {
      v.signs[s] = s == 0 ? 1 : strength(random);
      odds += weights[s] * v.signs[s];
    }
    v.is_dead = chance(random) < 1 / (1 + std::exp(-odds));
    voids.push_back(v);
  }
  return voids;
}

}  // namespace

TEST_CASE("the fit finds the weights that voids were drawn by, within four of its own errors") {
  const std::uint64_t seed = GENERATE(1, 2, 3);
  INFO("seed " << seed);
  const std::array<double, seen> weights = {-1.2, 0.8, 0, 2};
  const auto fit = fit_weights(drawn(4000, weights, seed), 100);
  for (std::size_t s = 0; s < seen; ++s) {
    CHECK(fit[s].error < 0.15);
    CHECK(std::abs(fit[s].weight - weights[s]) < 4 * fit[s].error);
  }
}

TEST_CASE("a sign that no void shows keeps no weight and the prior's error") {
  const auto fit = fit_weights(drawn(200, {0.5, 1, 1, 1}, 9), 3);
  CHECK(fit[void_signs - 1].weight == 0);
  CHECK(fit[void_signs - 1].error == Approx(3));
}

}  // namespace paneproof
