// A page that moves against a thing that does, on made-up pictures of 250 x 540.
#include "capture/video/page.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

using namespace paneproof;
using namespace paneproof::video;

namespace {

constexpr int width = 250, height = 540;

// Small bars of writing in rows, each of them `down` px lower than it was; the one row `moved`, if any, by
// itself.
Plane page(int down, int moved = -1, int moved_down = 0) {
  Plane plane{width, height, std::vector<std::uint8_t>(width * height, 240)};
  for (int row = 0; row < 12; ++row)
    for (int bar = 0; bar < 14; ++bar) {
      const int x0 = 16 + 16 * bar, y0 = 20 + 44 * row + (row == moved ? moved_down : down),
                wide = 5 + (7 * row + 3 * bar) % 9, dark = 40 + (row * 31 + bar * 57) % 120;
      for (int y = std::max(0, y0); y < std::min(height, y0 + 14); ++y)
        for (int x = x0; x < x0 + wide; ++x) plane.row(y)[x] = static_cast<std::uint8_t>(dark);
    }
  return plane;
}

}  // namespace

TEST_CASE("what goes the way of all about it is a page") {
  CHECK(goes_with_page(page(0), page(12), 0, 12, {100, 220, 50, 40}));
  CHECK(goes_with_page(page(30), page(3), 0, -27, {16, 20, 218, 20}));
}

TEST_CASE("what goes its own way is none, be it a whole row or over a page that goes otherwise") {
  CHECK_FALSE(goes_with_page(page(0), page(0, 5, 12), 0, 12, {100, 250, 50, 20}));
  CHECK_FALSE(goes_with_page(page(0), page(0, 5, 12), 0, 12, {16, 250, 218, 20}));
  CHECK_FALSE(goes_with_page(page(0), page(9, 5, -14), 0, -14, {16, 224, 218, 20}));
}
