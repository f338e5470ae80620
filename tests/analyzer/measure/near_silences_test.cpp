// Reference: every pair looked at. No outside source.
#include "analyzer/measure/near_silences.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

namespace paneproof {
namespace {

const Panel panel = [] {
  Panel p;
  p.width_mm = 70, p.height_mm = 140;
  return p;
}();

// A loss of 7 mm along x that begins at a place, each a second after the one before it.
Silence loss_at(double x_mm, double y_mm, std::size_t number) {
  Silence s;
  s.kind = Silence::Kind::loss;
  s.from = {x_mm, y_mm}, s.to = {x_mm + 7, y_mm};
  s.gap_mm = 7, s.gap_s = 0.05, s.t_s = static_cast<double>(number);
  return s;
}

}  // namespace

TEST_CASE("a silence's neighbours are those whose gaps lie over its own, wherever they are") {
  std::mt19937 random(20);  // seed 20
  std::uniform_real_distribution<double> x(0, 60), y(0, 140);
  std::vector<Silence> all;
  for (std::size_t i = 0; i < 200; ++i) all.push_back(loss_at(x(random), y(random), i));
  NearSilences near(panel, all, 8);
  for (std::size_t i = 0; i < all.size(); ++i) {
    std::vector<std::uint32_t> expected;
    for (std::uint32_t j = 0; j < all.size(); ++j) {
      const double along = std::abs(all[i].from.x_mm - all[j].from.x_mm);  // cores are 4.2 mm long
      const double across = std::abs(all[i].from.y_mm - all[j].from.y_mm);
      if (j != i && across <= 8 && 4.2 - along >= 0.3 * 4.2) expected.push_back(j);
    }
    std::vector<std::uint32_t> told = near.of(i);
    std::sort(told.begin(), told.end());
    CHECK(told == expected);
  }
}

TEST_CASE("neighbours of one passage do not count") {
  std::vector<Silence> all = {loss_at(30, 70, 0), loss_at(30, 72, 0), loss_at(30, 72, 1)};
  CHECK(NearSilences(panel, all, 8).of(0) == std::vector<std::uint32_t>{2});
}

TEST_CASE("however often a place was silent, no more than a thousand neighbours are told") {
  std::vector<Silence> all;
  for (std::size_t i = 0; i < 5000; ++i) all.push_back(loss_at(30, 70, i));
  CHECK(NearSilences(panel, all, 8).of(4999).size() == 1000);
}

}  // namespace paneproof
