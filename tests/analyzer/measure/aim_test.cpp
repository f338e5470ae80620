#include "analyzer/measure/aim.hpp"

#include <catch2/catch.hpp>

using namespace paneproof;

namespace {

std::vector<AimTouch> touched(double ax, double bx, double ay, double by) {
  std::vector<AimTouch> touches;
  for (const auto& [x, y] : {std::pair{12.0, 12.0}, {56.0, 12.0}, {34.0, 71.0}, {12.0, 130.0}, {56.0, 130.0}})
    touches.push_back({{x, y}, {ax + bx * x, ay + by * y}});
  return touches;
}

}  // namespace

TEST_CASE("an offset and a scale are told apart") {
  const Aim aim = aim_of(touched(1.5 - 0.02 * 34, 1.02, -2.0, 1.0));
  CHECK(aim.offset_x_mm == Approx(1.5));
  CHECK(aim.scale_x == Approx(1.02));
  CHECK(aim.offset_y_mm == Approx(-2.0));
  CHECK_FALSE(aim.mirrored_x);
}

TEST_CASE("a mirrored axis is told by its side") {
  const Aim aim = aim_of(touched(68, -1, 0, 1));
  CHECK(aim.mirrored_x);
  CHECK_FALSE(aim.mirrored_y);
}

TEST_CASE("swapped axes are not taken for mirrored ones") {
  std::vector<AimTouch> touches = touched(0, 1, 0, 1);
  for (AimTouch& t : touches) t.touch = {t.mark.y_mm, t.mark.x_mm};
  CHECK(aim_of(touches).swapped);
}
