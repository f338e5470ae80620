// Plates that lie on plain ground, found in one picture.
#include "capture/video/on_ground.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>

using namespace paneproof::video;

namespace {

Plane ground(int width, int height, int luma) {
  return {
      width, height,
      std::vector<std::uint8_t>(static_cast<std::size_t>(width) * height, static_cast<std::uint8_t>(luma))};
}

void fill(Plane& plane, const Box& box, int luma) {
  for (int y = box.y; y < box.y + box.height; ++y)
    for (int x = box.x; x < box.x + box.width; ++x) plane.row(y)[x] = static_cast<std::uint8_t>(luma);
}

// Ever darker towards the card, farther down than up.
void shade(Plane& plane, const Box& card, int levels, int reach) {
  for (int y = card.y - reach; y < card.y + card.height + 2 * reach; ++y)
    for (int x = card.x - reach; x < card.x + card.width + reach; ++x) {
      const double dx = std::max({card.x - x, x - card.x - card.width + 1, 0}),
                   dy = std::max<double>(
                       {static_cast<double>(card.y - y), (y - card.y - card.height + 1) / 2.0, 0});
      const double off = std::hypot(dx, dy) / reach;
      if (off < 1) plane.row(y)[x] = static_cast<std::uint8_t>(plane.row(y)[x] - levels * (1 - off));
    }
}

// As a palette of few colours leaves it: every other px a level or two off.
void dither(Plane& plane) {
  for (int y = 0; y < plane.height; ++y)
    for (int x = 0; x < plane.width; ++x)
      plane.row(y)[x] =
          static_cast<std::uint8_t>(std::clamp(plane.row(y)[x] + ((x + y) % 2 ? 1 : -1), 0, 255));
}

const OnGround* at(const std::vector<OnGround>& found, double x, double y) {
  for (const OnGround& o : found)
    if (std::abs(o.plate.x - x) < 6 && std::abs(o.plate.y - y) < 6) return &o;
  return nullptr;
}

}  // namespace

TEST_CASE("White cards are found on ground hardly darker, without their shadows") {
  Plane plane = ground(300, 400, 246);
  std::vector<Box> cards;
  for (int k = 0; k < 6; ++k) cards.push_back({15 + 95 * (k % 3), 40 + 110 * (k / 3), 80, 90});
  for (const Box& card : cards) shade(plane, card, 14, 4), fill(plane, card, 254);
  for (const Box& card : cards) fill(plane, {card.x + 8, card.y + 6, 24, 8}, 40);  // drawn on it
  dither(plane);
  const auto found = on_ground(plane);
  REQUIRE(found.size() == cards.size());
  for (const Box& card : cards) {
    const OnGround* o = at(found, card.x + 40, card.y + 45);
    REQUIRE(o);
    CHECK(std::abs(o->plate.x - (card.x + 40)) < 1);
    CHECK(std::abs(o->plate.y - (card.y + 45)) < 1);
    CHECK(std::abs(o->plate.width - 80) < 2);
    CHECK(std::abs(o->plate.height - 90) < 2);
  }
}

TEST_CASE("The ground is that on which things lie, though there is more of the cards' own white") {
  Plane plane = ground(240, 400, 238);
  for (int k = 0; k < 7; ++k) {
    fill(plane, {10, 20 + 52 * k, 220, 44}, 255);
    fill(plane, {22, 36 + 52 * k, 40, 12}, 30);
  }
  const auto found = on_ground(plane);
  REQUIRE(found.size() == 7);
  for (const OnGround& o : found) CHECK(o.plate.width > 210);
}

TEST_CASE("On a ground of all lumas nothing lies") {
  Plane plane = ground(240, 400, 0);
  for (int y = 0; y < 400; ++y)
    for (int x = 0; x < 240; ++x) plane.row(y)[x] = static_cast<std::uint8_t>(40 + y / 2);
  fill(plane, {60, 100, 60, 60}, 250);
  CHECK(on_ground(plane).empty());
}
