#include "analyzer/report/svg.hpp"

#include <expat.h>

#include <catch2/catch.hpp>
#include <cstring>
#include <map>

#include "analyzer/report/heatmap.hpp"
#include "tests/analyzer/report/example_result.hpp"

using namespace paneproof;

namespace {

struct Reading {
  bool well_formed = false;
  std::map<std::string, int> elements_by_class;
};

void count_element(void* user, const char*, const char** attributes) {
  for (; *attributes; attributes += 2)
    if (std::strcmp(attributes[0], "class") == 0)
      ++static_cast<Reading*>(user)->elements_by_class[attributes[1]];
}

// Read by expat, an independent XML parser.
Reading read_xml(const std::string& text) {
  Reading reading;
  XML_Parser parser = XML_ParserCreate(nullptr);
  XML_SetUserData(parser, &reading);
  XML_SetStartElementHandler(parser, count_element);
  reading.well_formed = XML_Parse(parser, text.data(), static_cast<int>(text.size()), 1) == XML_STATUS_OK;
  XML_ParserFree(parser);
  return reading;
}

}  // namespace

TEST_CASE("an SVG is well-formed and holds every shape of the picture by its role") {
  const unsigned seed = 21;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 25; ++i) {
    const example::Parts parts = example::random_panel(random);
    const Picture picture = heatmap(parts.result());
    std::map<std::string, int> expected;
    for (const Shape& shape : picture.shapes) ++expected[shape.role];
    const Reading reading = read_xml(paint_svg(picture));
    CHECK(reading.well_formed);
    CHECK(reading.elements_by_class == expected);
  }
}

TEST_CASE("the same result gives the same SVG") {
  const example::Parts parts = example::faulty_panel(68, 142);
  CHECK(heatmap_svg(parts.result()) == heatmap_svg(parts.result()));
}

TEST_CASE("lettering that looks like markup stays lettering") {
  Picture picture{100, 100, "<title> & \"more\"", {}};
  picture.shapes.push_back({"legend", Lettering{1, 1, 10, "</text><script>&"}, Colour{}, {}});
  const Reading reading = read_xml(paint_svg(picture));
  CHECK(reading.well_formed);
  CHECK(reading.elements_by_class == std::map<std::string, int>{{"legend", 1}});
}
