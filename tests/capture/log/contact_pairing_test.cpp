#include "capture/log/contact_pairing.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>
#include <numeric>
#include <random>

using namespace paneproof;

namespace {

constexpr double kNoGate = std::numeric_limits<double>::infinity();

double squared(const Place& a, const Place& b) {
  return (a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y);
}

double sum_of(const std::vector<Place>& before, const std::vector<Place>& now,
              const std::vector<int>& partner) {
  double sum = 0;
  for (std::size_t j = 0; j < now.size(); ++j)
    if (partner[j] >= 0) sum += squared(before[static_cast<std::size_t>(partner[j])], now[j]);
  return sum;
}

// The least sum over all ways to give the smaller side different partners, tried one by one.
double least_sum(const std::vector<Place>& before, const std::vector<Place>& now) {
  const auto& few = before.size() < now.size() ? before : now;
  const auto& many = before.size() < now.size() ? now : before;
  std::vector<std::size_t> order(many.size());
  std::iota(order.begin(), order.end(), 0);
  double least = std::numeric_limits<double>::infinity();
  do {
    double sum = 0;
    for (std::size_t i = 0; i < few.size(); ++i) sum += squared(few[i], many[order[i]]);
    least = std::min(least, sum);
  } while (std::next_permutation(order.begin(), order.end()));
  return least;
}

}  // namespace

TEST_CASE("the pairing has the least sum of squared distances of all pairings") {
  const unsigned seed = 777;
  CAPTURE(seed);
  std::mt19937 random(seed);
  const auto places = [&](std::size_t count) {
    std::vector<Place> out(count);
    for (Place& place : out) place = {double(random() % 100), double(random() % 100)};
    return out;
  };
  for (int run = 0; run < 400; ++run) {
    const auto before = places(1 + random() % 6), now = places(1 + random() % 6);
    const std::vector<int> partner = nearest_pairing(before, now, kNoGate);
    std::vector<int> used;
    for (const int p : partner)
      if (p >= 0) used.push_back(p);
    std::sort(used.begin(), used.end());
    REQUIRE(std::adjacent_find(used.begin(), used.end()) == used.end());
    REQUIRE(used.size() == std::min(before.size(), now.size()));
    REQUIRE(sum_of(before, now, partner) == Approx(least_sum(before, now)));
  }
}

TEST_CASE("pairs beyond the gate are none, at the gate they are") {
  CHECK(nearest_pairing({{0, 0}}, {{3, 4}}, 5) == std::vector<int>{0});
  CHECK(nearest_pairing({{0, 0}}, {{3, 4}}, 4.9) == std::vector<int>{-1});
  CHECK(nearest_pairing({}, {{3, 4}}, 5) == std::vector<int>{-1});
  CHECK(nearest_pairing({{3, 4}}, {}, 5).empty());
}
