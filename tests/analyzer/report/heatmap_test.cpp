#include "analyzer/report/heatmap.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstring>
#include <map>

#include "analyzer/report/lettering.hpp"
#include "analyzer/report/wording.hpp"
#include "tests/analyzer/report/example_result.hpp"

using namespace paneproof;

namespace {

bool is(const Shape& shape, const char* role) { return std::strcmp(shape.role, role) == 0; }

int count(const Picture& picture, const char* role) {
  return static_cast<int>(std::count_if(picture.shapes.begin(), picture.shapes.end(),
                                        [&](const Shape& s) { return is(s, role); }));
}

template <typename Form>
std::vector<Form> forms(const Picture& picture, const char* role) {
  std::vector<Form> found;
  for (const Shape& shape : picture.shapes)
    if (is(shape, role) && std::holds_alternative<Form>(shape.form))
      found.push_back(std::get<Form>(shape.form));
  return found;
}

// Page units a mm along the top, as a reader measures it: between the ruler's first and last number.
double ruler_scale(const Picture& picture) {
  const auto numbers = forms<Lettering>(picture, "ruler-number");
  std::vector<Lettering> top;
  for (const Lettering& number : numbers)
    if (number.anchor == Anchor::middle) top.push_back(number);
  return (top.back().x - top.front().x) /
         (std::stod(top.back().characters) - std::stod(top.front().characters));
}

example::Parts chequered_panel(double width_mm, double height_mm) {
  example::Parts parts = example::good_panel(width_mm, height_mm);
  Grid& grid = parts.findings.grid;
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column)
      if ((row + column) % 2)
        grid.cells[static_cast<std::size_t>(row) * grid.columns + column] = CellState::silent;
  return parts;
}

}  // namespace

TEST_CASE("a picture that tells to open the device carries the cautions") {
  example::Parts parts = example::faulty_panel(68, 142);
  parts.verdict.cautions = {"Power the device off."};
  const auto said = [&] {
    for (const Lettering& text : forms<Lettering>(heatmap(parts.result()), "legend"))
      if (text.characters == "Power the device off.") return true;
    return false;
  };
  CHECK(said());
  parts.verdict.cautions.clear();
  CHECK_FALSE(said());
}

TEST_CASE("losses all over the panel are not told as a place of its size") {
  DeadZone zone;
  zone.kind = ZoneKind::bursts, zone.width_mm = 68, zone.height_mm = 142, zone.lost = zone.passages = 132;
  CHECK(described(zone) == "losses all over the panel: contact lost 132 times in motion");
  zone.lost = zone.passages = 1;
  CHECK(described(zone).find("1 time in motion") != std::string::npos);
}

TEST_CASE("cells are drawn to the scale of the rulers, on panels of any size") {
  const unsigned seed = 41;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> size(25, 700);
  for (int i = 0; i < 40; ++i) {
    const double width_mm = size(random), height_mm = size(random);
    CAPTURE(width_mm, height_mm);
    const example::Parts parts = chequered_panel(width_mm, height_mm);
    const Picture picture = heatmap(parts.result());
    const double scale = ruler_scale(picture);
    const auto outline = forms<Rectangle>(picture, "panel-outline");
    REQUIRE(outline.size() == 1);
    CHECK(outline[0].width / scale == Approx(width_mm));
    CHECK(outline[0].height / scale == Approx(height_mm));
    const auto cells = forms<Rectangle>(picture, "cell-silent");
    REQUIRE(cells.size() > 5);
    CHECK(cells[0].width / scale == Approx(5.0).margin(5.01 - 5.0));
    CHECK((cells[0].x - outline[0].x) / scale == Approx(5.0));  // the second cell of the top row
  }
}

TEST_CASE("nothing is cut off at the page's edge") {
  const unsigned seed = 42;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 40; ++i) {
    const example::Parts parts = example::random_panel(random);
    const Picture picture = heatmap(parts.result());
    for (const Shape& shape : picture.shapes) {
      const auto* text = std::get_if<Lettering>(&shape.form);
      if (!text) continue;
      CAPTURE(shape.role, text->characters, parts.findings.panel_width_mm, parts.findings.panel_height_mm);
      const double width = lettering_width(text->characters, text->size, text->bold);
      const double left = text->x - (text->anchor == Anchor::start    ? 0
                                     : text->anchor == Anchor::middle ? width / 2
                                                                      : width);
      CHECK(left >= 0);
      CHECK(left + width <= picture.width);
      CHECK(text->y <= picture.height);
    }
  }
}

TEST_CASE("a log's format is called as people call it") {
  example::Parts parts = example::good_panel(68, 142);
  parts.trace.sweeps.resize(1);
  parts.trace.sweeps.front().format = "pointer_jsonl";
  const auto lines = forms<Lettering>(heatmap(parts.result()), "source");
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].characters.find("Pointer Events") != std::string::npos);
  CHECK(lines[0].characters.find("pointer_jsonl") == std::string::npos);
}

TEST_CASE("reasons and next steps are told to the end") {
  for (const double width_mm : {68.0, 240.0}) {
    example::Parts parts = example::good_panel(width_mm, 142);
    const std::string line =
        "An area does not answer: x 100.0 to 120.0 mm, y 100.0 to 120.0 mm (lost 30 of 30 passages).";
    parts.verdict.reasons = {{"dead_area", line, Outcome::fail},
                             {"dead_area", line, Outcome::fail},
                             {"untested_area", "Told last.", Outcome::resweep}};
    parts.verdict.next_steps = {line + ' ' + line + " Done last."};
    const Picture picture = heatmap(parts.result());
    const auto ends_with = [&](const char* role, const std::string& words) {
      const auto lines = forms<Lettering>(picture, role);
      return std::any_of(lines.begin(), lines.end(),
                         [&](const Lettering& l) { return l.characters.ends_with(words); });
    };
    CHECK(ends_with("reason", "last."));
    CHECK(ends_with("legend", "last."));
    // What the reasons push down lies below them.
    for (const Lettering& source : forms<Lettering>(picture, "source"))
      for (const Lettering& number : forms<Lettering>(picture, "ruler-number")) CHECK(number.y > source.y);
  }
}

TEST_CASE("an untested circle wider than the panel is drawn on the glass alone") {
  const unsigned seed = 46;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 40; ++i) {
    const example::Parts parts = example::random_panel(random);
    const Picture picture = heatmap(parts.result());
    const Rectangle glass = forms<Rectangle>(picture, "panel-outline")[0];
    const double right = glass.x + glass.width, bottom = glass.y + glass.height;
    for (const Polyline& arc : forms<Polyline>(picture, "untested-circle"))
      for (const Spot& spot : arc.spots)
        CHECK((spot.x >= glass.x && spot.x <= right && spot.y >= glass.y && spot.y <= bottom));
    for (const Disc& disc : forms<Disc>(picture, "untested-circle"))
      if (disc.radius > 8)  // the legend's sample is 7.5
        CHECK((disc.x - disc.radius >= glass.x && disc.x + disc.radius <= right &&
               disc.y - disc.radius >= glass.y && disc.y + disc.radius <= bottom));
  }
}

TEST_CASE("labels on the panel do not lie over each other") {
  const unsigned seed = 43;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 40; ++i) {
    const example::Parts parts = example::random_panel(random);
    const auto plates = forms<Rectangle>(heatmap(parts.result()), "label");
    for (std::size_t a = 0; a < plates.size(); ++a)
      for (std::size_t b = 0; b < a; ++b) {
        const Rectangle &p = plates[a], &q = plates[b];
        CHECK(
            (p.x + p.width <= q.x || q.x + q.width <= p.x || p.y + p.height <= q.y || q.y + q.height <= p.y));
      }
  }
}

TEST_CASE("every finding is on the picture") {
  const example::Parts faulty = example::faulty_panel(68, 142), good = example::good_panel(68, 142);
  const Picture with = heatmap(faulty.result()), without = heatmap(good.result());
  for (const char* role :
       {"dead-zone", "dropout", "doubt", "ghost", "jump", "stroke-left", "masked", "label"}) {
    CAPTURE(role);
    CHECK(count(with, role) > 0);
  }
  for (const char* role : {"dead-zone", "dropout", "doubt", "ghost", "jump", "stroke-left", "masked"}) {
    CAPTURE(role);
    CHECK(count(without, role) == 0);
  }
  CHECK(count(with, "untested-circle") > 0);
  CHECK(count(with, "path") >= 15);
}

TEST_CASE("states differ by mark as well as by colour") {
  example::Parts parts = example::good_panel(40, 40);
  const auto marks = [&](CellState state) {
    for (CellState& cell : parts.findings.grid.cells) cell = state;
    std::map<std::string, std::size_t> lines;
    for (const Shape& shape : heatmap(parts.result()).shapes)
      if (const auto* form = std::get_if<Segments>(&shape.form);
          form && std::strncmp(shape.role, "mark-", 5) == 0)
        lines[shape.role] = std::max(lines[shape.role], form->lines.size());
    return lines;
  };
  CHECK(marks(CellState::silent)["mark-silent"] > 64);
  CHECK(marks(CellState::intermittent)["mark-intermittent"] > 64);
  CHECK(marks(CellState::unswept)["mark-unswept"] >= 64);
  CHECK(marks(CellState::proven)["mark-silent"] < 10);  // the legend's sample alone
}

TEST_CASE("the path is not drawn across a step wider than a fingertip") {
  example::Parts parts = example::good_panel(68, 142);
  parts.trace.reports = {{0, 10, 50, 0, 0}, {1, 12, 50, 0, 0}, {2, 40, 50, 0, 0}, {3, 42, 50, 0, 0}};
  parts.trace.contacts = {{0, 4, 0, Ending::lifted, Tool::finger}};
  const Picture picture = heatmap(parts.result());
  const double scale = ruler_scale(picture);
  int on_panel = 0;
  for (const Polyline& line : forms<Polyline>(picture, "path")) {
    const double length = std::abs(line.spots.back().x - line.spots.front().x) / scale;
    if (length == Approx(2.0)) ++on_panel;
    CHECK(length < 8);
  }
  CHECK(on_panel == 2);
}

TEST_CASE("a path that is thinned stays by every report") {
  example::Parts parts = example::good_panel(68, 142);
  const unsigned seed = 44;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> turn(-0.4, 0.4);
  parts.trace.reports.clear();
  double x = 34, y = 71, heading = 0;
  for (int i = 0; i < 300; ++i) {
    heading += turn(random);
    x = std::clamp(x + 0.4 * std::cos(heading), 1.0, 67.0);
    y = std::clamp(y + 0.4 * std::sin(heading), 1.0, 141.0);
    parts.trace.reports.push_back({i * 8333, x, y, 0, 0});
  }
  parts.trace.contacts = {{0, 300, 0, Ending::lifted, Tool::finger}};
  const Picture picture = heatmap(parts.result());
  const double scale = ruler_scale(picture);
  const Rectangle glass = forms<Rectangle>(picture, "panel-outline")[0];
  const auto lines = forms<Polyline>(picture, "path");
  const auto distance = [](Spot p, Spot a, Spot b) {
    const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
    const double share =
        square > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / square, 0.0, 1.0) : 0.0;
    return std::hypot(p.x - a.x - share * dx, p.y - a.y - share * dy);
  };
  for (const Report& report : parts.trace.reports) {
    const Spot spot{glass.x + report.x * scale, glass.y + report.y * scale};
    double nearest = 1e9;
    for (const Polyline& line : lines)
      for (std::size_t i = 1; i < line.spots.size(); ++i)
        nearest = std::min(nearest, distance(spot, line.spots[i - 1], line.spots[i]));
    CHECK(nearest < 1.3);  // a page unit for reports left out as too near, 0.3 for those along a line
  }
}

TEST_CASE("drawing stays bounded however many reports a trace holds") {
  example::Parts parts = example::good_panel(68, 142);
  const unsigned seed = 45;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> x(0, 68), y(0, 142);
  parts.trace.reports.clear();
  for (int i = 0; i < 400000; ++i) parts.trace.reports.push_back({i, x(random), y(random), 0, 0});
  parts.trace.contacts = {{0, 400000, 0, Ending::lifted, Tool::finger}};
  const Picture picture = heatmap(parts.result());
  std::size_t drawn = 0;
  for (const Segments& taps : forms<Segments>(picture, "path-tap")) drawn += taps.lines.size();
  for (const Polyline& line : forms<Polyline>(picture, "path")) drawn += line.spots.size();
  const Rectangle glass = forms<Rectangle>(picture, "panel-outline")[0];
  CHECK(drawn <= glass.width * glass.height / 16 * 4 + 10000);
}

TEST_CASE("a stroke that comes back along its own line keeps its far end") {
  example::Parts parts = example::good_panel(68, 142);
  parts.trace.reports.clear();
  for (int i = 0; i <= 100; ++i)
    parts.trace.reports.push_back({i, 5.0 + 0.5 * std::min(i, 120 - i), 50, 0, 0});
  parts.trace.contacts = {{0, 101, 0, Ending::lifted, Tool::finger}};
  const Picture picture = heatmap(parts.result());
  const Rectangle glass = forms<Rectangle>(picture, "panel-outline")[0];
  double far_end = 0;
  for (const Polyline& line : forms<Polyline>(picture, "path"))
    for (const Spot& spot : line.spots)
      if (spot.y < glass.y + glass.height && spot.x < glass.x + glass.width)
        far_end = std::max(far_end, spot.x - glass.x);
  CHECK(far_end / ruler_scale(picture) == Approx(35.0).margin(0.1));
}
