#include "capture/video/touch_look.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "capture/video/four.hpp"
#include "capture/video/sample.hpp"

using namespace paneproof::video;

namespace {

constexpr int width = 200, height = 160;

std::vector<std::uint8_t> some_ground(std::mt19937& random) {
  std::vector<std::uint8_t> ground(static_cast<std::size_t>(width) * height);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      ground[static_cast<std::size_t>(y) * width + x] =
          static_cast<std::uint8_t>(90 + 40 * std::sin(x / 9.0) * std::cos(y / 13.0) + random() % 3);
  return ground;
}

// A light ring of 20 px across, half of which shows through, an edge of a px wide.
Plane with_ring(const std::vector<std::uint8_t>& ground, double x, double y) {
  Plane plane;
  plane.width = width, plane.height = height, plane.luma = ground;
  for (int j = 0; j < height; ++j)
    for (int i = 0; i < width; ++i) {
      const double off = std::abs(std::hypot(i + 0.5 - x, j + 0.5 - y) - 8.5),
                   share = std::clamp(2 - off, 0.0, 1.0);
      std::uint8_t& p = plane.row(j)[i];
      p = static_cast<std::uint8_t>(std::lround(p + share * 0.5 * (240 - p)));
    }
  return plane;
}

TouchLook learnt(const std::vector<std::uint8_t>& ground) {
  TouchLook look(20);
  for (int k = 0; k < 8; ++k)
    look.learn(with_ring(ground, 40 + 9.3 * k, 50 + 4.7 * k), ground, 40 + 9.3 * k, 50 + 4.7 * k);
  return look;
}

}  // namespace

TEST_CASE("a touch mark is found to a tenth of a px over ground that varies") {
  std::mt19937 random(3);
  const auto ground = some_ground(random);
  const std::vector<std::uint8_t> unrest(ground.size());
  const TouchLook look = learnt(ground);
  for (int k = 0; k < 20; ++k) {
    const double tx = 30 + 0.001 * (random() % 140000), ty = 30 + 0.001 * (random() % 100000);
    double x = tx + 2.2, y = ty - 1.4;
    const auto match = look.find(with_ring(ground, tx, ty), ground, unrest, x, y, 4, 0.6);
    CHECK(match.share() > 0.8);
    CHECK(std::hypot(x - tx, y - ty) < 0.1);
  }
}

TEST_CASE("where all about is the ground no touch mark may be, and none is looked for") {
  std::mt19937 random(4);
  const auto ground = some_ground(random);
  const TouchLook look = learnt(ground);
  const Plane plane = with_ring(ground, 0.5 * width + 0.3, 61.8);
  const TouchLook::Quiet quiet = look.quiet(plane, ground);
  int skipped = 0, may = 0;
  for (int y = 0; y <= height; y += 2)
    for (int x = 0; x <= width; x += 2) {
      const bool maybe = look.maybe(plane, ground, x, y);
      may += maybe;
      if (!quiet.at(x, y)) continue;
      ++skipped;
      CHECK_FALSE(maybe);
    }
  CHECK(may > 0);
  CHECK(skipped > 1000);
}

TEST_CASE("four places at once are sampled as one by one") {
  std::mt19937 random(5);
  Plane plane;
  plane.width = width, plane.height = height, plane.luma = some_ground(random);
  for (int k = 0; k < 500; ++k) {
    Four x{}, y{};
    for (int n = 0; n < 4; ++n)
      x[n] = 0.5F + 0.001F * static_cast<float>(random() % 198000),
      y[n] = 0.5F + 0.001F * static_cast<float>(random() % 158000);
    const Four four = sample(plane, x, y);
    for (int n = 0; n < 4; ++n) CHECK(four[n] == sample(plane, x[n], y[n]));
  }
}
