#include "analyzer/report/png.hpp"

#include <png.h>

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cstring>
#include <map>

#include "analyzer/report/colours.hpp"
#include "analyzer/report/heatmap.hpp"
#include "tests/analyzer/report/example_result.hpp"

using namespace paneproof;

namespace {

struct Pixels {
  std::size_t width = 0, height = 0;
  bool palette = false;
  std::vector<std::uint8_t> bytes;
  Colour at(double x, double y) const {
    const std::uint8_t* pixel =
        &bytes[(static_cast<std::size_t>(y) * width + static_cast<std::size_t>(x)) * 3];
    return {pixel[0], pixel[1], pixel[2]};
  }
  // The colour that most pixels inside the box have.
  Colour commonest(const Rectangle& box) const {
    std::map<std::array<std::uint8_t, 3>, int> counts;
    for (double y = box.y + 1; y < box.y + box.height - 1; ++y)
      for (double x = box.x + 1; x < box.x + box.width - 1; ++x) {
        const Colour c = at(x, y);
        ++counts[{c.red, c.green, c.blue}];
      }
    const auto most = std::max_element(counts.begin(), counts.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    return {most->first[0], most->first[1], most->first[2]};
  }
  std::size_t count(const Colour& colour) const {
    std::size_t found = 0;
    for (std::size_t i = 0; i + 2 < bytes.size(); i += 3)
      found += Colour{bytes[i], bytes[i + 1], bytes[i + 2]} == colour;
    return found;
  }
};

// Decoded by libpng's reader.
Pixels decode(const std::string& file) {
  png_image image;
  std::memset(&image, 0, sizeof image);
  image.version = PNG_IMAGE_VERSION;
  REQUIRE(png_image_begin_read_from_memory(&image, file.data(), file.size()));
  Pixels pixels;
  pixels.palette = (image.format & PNG_FORMAT_FLAG_COLORMAP) != 0;
  image.format = PNG_FORMAT_RGB;
  pixels.width = image.width;
  pixels.height = image.height;
  pixels.bytes.resize(PNG_IMAGE_SIZE(image));
  REQUIRE(png_image_finish_read(&image, nullptr, pixels.bytes.data(), 0, nullptr));
  return pixels;
}

}  // namespace

TEST_CASE("a PNG decodes to the page's size, with a palette") {
  const example::Parts parts = example::faulty_panel(68, 142);
  const Picture picture = heatmap(parts.result());
  const Pixels pixels = decode(paint_png(picture));
  CHECK(pixels.palette);
  CHECK(static_cast<double>(pixels.width) == picture.width);
  CHECK(static_cast<double>(pixels.height) == picture.height);
}

TEST_CASE("every state's own colour is on the picture") {
  const example::Parts parts = example::faulty_panel(68, 142);
  const Pixels pixels = decode(heatmap_png(parts.result()));
  for (const CellState state :
       {CellState::proven, CellState::silent, CellState::intermittent, CellState::unswept}) {
    CAPTURE(word(state));
    CHECK(pixels.count(colours::of(state)) > 1000);
  }
  CHECK(pixels.count(colours::masked) > 1000);
  CHECK(pixels.count(colours::fault) > 200);
}

TEST_CASE("most of each cell's pixels have the colour of its state") {
  const unsigned seed = 31;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 8; ++i) {
    example::Parts parts = example::good_panel(40 + static_cast<double>(random() % 200),
                                               40 + static_cast<double>(random() % 200));
    for (CellState& state : parts.findings.grid.cells) state = static_cast<CellState>(random() % 4);
    parts.trace.reports.clear();
    parts.trace.contacts.clear();
    parts.findings.coverage.largest_untested = {};
    const Picture picture = heatmap(parts.result());
    const Pixels pixels = decode(paint_png(picture));
    int looked_at = 0;
    for (const Shape& shape : picture.shapes) {
      const auto* box = std::get_if<Rectangle>(&shape.form);
      if (!box || shape.pen || std::strncmp(shape.role, "cell-", 5) != 0 || box->width < 8 || box->height < 8)
        continue;
      CHECK(pixels.commonest(*box) == *shape.fill);
      ++looked_at;
    }
    CHECK(looked_at > 20);
  }
}

TEST_CASE("the same result gives the same PNG") {
  const example::Parts parts = example::faulty_panel(247, 173);
  CHECK(heatmap_png(parts.result()) == heatmap_png(parts.result()));
}

TEST_CASE("any result can be painted") {
  const unsigned seed = 32;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 15; ++i) {
    const example::Parts parts = example::random_panel(random);
    const Picture picture = heatmap(parts.result());
    CHECK(static_cast<double>(decode(paint_png(picture)).height) == picture.height);
  }
}
