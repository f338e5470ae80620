#include "analyzer/report/palette.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "analyzer/report/heatmap.hpp"
#include "tests/analyzer/report/example_result.hpp"

using namespace paneproof;

namespace {

std::uint32_t pixel_of(const Colour& c) {
  return static_cast<std::uint32_t>(c.red << 16 | c.green << 8 | c.blue);
}

}  // namespace

TEST_CASE("a palette has at most 256 colours and keeps each of the picture's own exactly") {
  const example::Parts parts = example::faulty_panel(68, 142);
  const Picture picture = heatmap(parts.result());
  Palette palette(picture);
  CHECK(palette.colours().size() <= 256);
  for (const Shape& shape : picture.shapes) {
    if (shape.fill) CHECK(palette.colours()[palette.entry(pixel_of(*shape.fill))] == *shape.fill);
    if (shape.pen) CHECK(palette.colours()[palette.entry(pixel_of(shape.pen->colour))] == shape.pen->colour);
  }
}

TEST_CASE("any pixel finds a colour near it") {
  const example::Parts parts = example::good_panel(68, 142);
  const Picture picture = heatmap(parts.result());
  Palette palette(picture);
  const unsigned seed = 61;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 5000; ++i) {
    const auto pixel = static_cast<std::uint32_t>(random());
    const Colour near = palette.colours()[palette.entry(pixel)];
    // The cube's steps are 85; half of one, and half of the 8 that a bin spans.
    CHECK(std::abs(near.red - static_cast<int>(pixel >> 16 & 255)) <= 85);
    CHECK(std::abs(near.green - static_cast<int>(pixel >> 8 & 255)) <= 85);
    CHECK(std::abs(near.blue - static_cast<int>(pixel & 255)) <= 85);
  }
}

TEST_CASE("a picture with more colours than a palette holds is still given one") {
  Picture picture{10, 10, "", {}};
  for (int i = 0; i < 600; ++i)
    picture.shapes.push_back({"x",
                              Rectangle{0, 0, 1, 1},
                              Colour{static_cast<std::uint8_t>(i), static_cast<std::uint8_t>(i / 3), 9},
                              {}});
  CHECK(Palette(picture).colours().size() <= 256);
}
