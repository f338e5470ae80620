// Which plates are taken to tell where the middle of a thing is.
#include "capture/video/plate.hpp"

#include <catch2/catch.hpp>

using namespace paneproof;

namespace {

video::Plate plate(double x, double y, double width, double height, double sure, double proved) {
  video::Plate p;
  p.x = x, p.y = y, p.width = width, p.height = height, p.sure = sure, p.proved = proved;
  return p;
}

}  // namespace

TEST_CASE("the middle of what has no plate, or one hardly seen, is not told") {
  CHECK(video::unsure({}));
  CHECK(video::unsure(plate(0, 0, 62, 38, 0.83, 0.75)));
  CHECK_FALSE(video::unsure(plate(0, 0, 49, 48, 0.85, 0.98)));
  CHECK_FALSE(video::unsure(plate(0, 0, 73, 51, 1.33, 0.0)));
}

TEST_CASE("a line round two slots side by side does not move the middle of what was learnt") {
  const video::Plate learnt = plate(0, 0, 51, 51, 1.36, 1);
  CHECK_FALSE(video::tells_better(plate(11.8, 0.6, 74, 51, 1.47, 0), learnt));
  CHECK(video::tells_better(plate(0.2, 1.4, 51, 54, 1.47, 0), learnt));
  CHECK_FALSE(video::tells_better(plate(0.2, 0.4, 51, 52, 1.52, 0), learnt));
  CHECK(video::tells_better(plate(0.2, 0.4, 51, 52, 1.4, 0), plate(0, 0, 51, 51, 1.36, 0.3)));
}
