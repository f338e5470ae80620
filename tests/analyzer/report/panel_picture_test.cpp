#include "analyzer/report/panel_picture.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstring>

#include "analyzer/report/lettering.hpp"
#include "tests/analyzer/report/example_result.hpp"

using namespace paneproof;

// 390 CSS px of a phone less the page's margins are 350; letters under 11 of them are hard to read.
// A tablet's page has 530.
TEST_CASE("on a phone and on a tablet every letter of the map can be read, and none is cut off") {
  std::mt19937_64 random(47);
  for (int i = 0; i < 60; ++i) {
    std::uniform_real_distribution<double> side(10, 2000);
    const example::Parts parts = i == 0   ? example::faulty_panel(68, 142)
                                 : i == 1 ? example::faulty_panel(230, 150)
                                          : example::faulty_panel(side(random), side(random));
    const Picture picture = pocket_picture(parts.result());
    INFO(parts.findings.panel_width_mm << " x " << parts.findings.panel_height_mm);
    const bool tablet = std::min(parts.findings.panel_width_mm, parts.findings.panel_height_mm) > 100;
    const double css_px_a_unit = (tablet ? 530 : 350) / picture.width;
    for (const Shape& shape : picture.shapes) {
      const auto* text = std::get_if<Lettering>(&shape.form);
      if (!text) continue;
      INFO(text->characters);
      CHECK(text->size * css_px_a_unit >= 11);
      const double width = lettering_width(text->characters, text->size, text->bold);
      const double left = text->anchor == Anchor::start    ? text->x
                          : text->anchor == Anchor::middle ? text->x - width / 2
                                                           : text->x - width;
      CHECK(left >= 0);
      CHECK(left + width <= picture.width);
      CHECK(text->y <= picture.height);
    }
  }
}

TEST_CASE("the map of a phone's panel is as wide as the phone") {
  const example::Parts parts = example::good_panel(68, 142);
  const Picture picture = pocket_picture(parts.result());
  for (const Shape& shape : picture.shapes)
    if (std::strcmp(shape.role, "panel-outline") == 0)
      CHECK(std::get<Rectangle>(shape.form).width >= 0.8 * picture.width);
}
