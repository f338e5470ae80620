// What is told of a filmed device, where a hand covers most of what it drags.
#include <catch2/catch.hpp>
#include <random>

#include "capture/video/follow.hpp"
#include "capture/video/slot.hpp"

using namespace paneproof::video;

namespace {

Plane with_icon(bool lies, bool hand, std::mt19937& random) {
  Plane plane;
  plane.width = 200, plane.height = 300;
  for (int y = 0; y < plane.height; ++y)
    for (int x = 0; x < plane.width; ++x) {
      int level = 160;
      if (lies && std::abs(x - 100) < 20 && std::abs(y - 90) < 20) level = (x + y) % 14 < 7 ? 90 : 210;
      if (hand && std::abs(x - 104) < 13 && y > 94) level = 130;
      plane.luma.push_back(static_cast<std::uint8_t>(level + static_cast<int>(random() % 5) - 2));
    }
  return plane;
}

}  // namespace

TEST_CASE("what lies where it lay before the hand went off was not what it dragged") {
  std::mt19937 random(7);
  std::vector<Plane> pictures;
  for (int k = 0; k < 6; ++k) pictures.push_back(with_icon(true, k > 3, random));
  std::vector<const Plane*> before;
  for (const Plane& p : pictures) before.push_back(&p);
  Plate slot;
  slot.x = 100, slot.y = 90, slot.width = slot.height = 40;
  CHECK(lies_as_before(with_icon(true, false, random), before, slot));
  CHECK_FALSE(lies_as_before(with_icon(false, false, random), before, slot));
  CHECK_FALSE(lies_as_before(with_icon(true, true, random), before, slot));  // covered: it cannot be told
}

TEST_CASE("in a film the middle is told from where the hand had settled, however poses were moved since") {
  Plate slot;
  slot.x = 100, slot.y = 90;
  for (const double moved : {0.0, 9.0}) {  // as when the model's origin became another
    std::vector<Sample> samples;
    for (int k = 0; k < 40; ++k) {
      Sample s;
      s.frame = k, s.known = k != 5;
      s.pose.x = 104 + (k > 20 ? 4 * (k - 20) : 0);
      s.pose.y = 96 + moved + (k < 3 ? -1.5 : 0);  // it sinks in
      samples.push_back(s);
    }
    const auto [x, y] = middle_from(samples, 0, slot);
    CHECK(samples.back().pose.x + x == Approx(100 + 4 * 19));
    CHECK(samples.back().pose.y + y == Approx(90));
  }
}
