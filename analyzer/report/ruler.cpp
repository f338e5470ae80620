#include "analyzer/report/ruler.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/report/colours.hpp"
#include "analyzer/report/lettering.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

constexpr double number_size = 11;
constexpr double gap = 3;  // between the ruler's ticks and the glass

struct Tick {
  double mm;
  double length;
  bool numbered;
};

// Ticks along one side; numbers at every 10 mm, further apart only when they would touch.
std::vector<Tick> ticks(double length_mm, double units_per_mm, double number_room) {
  const double small_mm = tick_mm(4, units_per_mm);
  const double numbered_mm = std::max(10.0, tick_mm(number_room, units_per_mm));
  std::vector<Tick> all;
  for (int i = 0; i * small_mm <= length_mm + 1e-9; ++i) {
    const double mm = i * small_mm;
    const auto multiple = [&](double of) { return std::abs(mm / of - std::round(mm / of)) < 1e-6; };
    const bool numbered = multiple(numbered_mm);
    const double length = numbered ? 12 : multiple(10) ? 10 : multiple(5) ? 7 : 4;
    all.push_back({mm, length, numbered});
  }
  return all;
}

void draw_up_marker(Sketch& sketch, double middle, double y) {
  const std::string words = "top edge";
  const double half = lettering_width(words, 12, true) / 2;
  const double tip = middle - half - 14;
  sketch.polygon("up", {{tip, y - 11}, {tip + 6, y}, {tip - 6, y}}, colours::ink);
  sketch.text("up", {middle + 2, y, 12, words, true, Anchor::middle}, colours::ink);
}

}  // namespace

double tick_mm(double least, double units_per_mm) {
  double decade = 1;
  while (decade * units_per_mm * 10 < least && decade < 1e9) decade *= 10;
  for (const double step : {1.0, 2.0, 5.0})
    if (decade * step * units_per_mm >= least) return decade * step;
  return decade * 10;
}

void draw_rulers(Sketch& sketch, double width_mm, double height_mm, const PanelScale& scale) {
  Segments marks;
  const double above = scale.top - gap, beside = scale.left - gap;
  const double last_x = scale.x(width_mm), last_y = scale.y(height_mm);
  for (const Tick& tick : ticks(width_mm, scale.units_per_mm, 30)) {
    const double x = scale.x(tick.mm);
    marks.lines.push_back({{x, above}, {x, above - tick.length}});
    if (tick.numbered)
      sketch.text("ruler-number", {x, above - 15, number_size, fixed(tick.mm, 0), false, Anchor::middle},
                  colours::quiet_ink);
  }
  for (const Tick& tick : ticks(height_mm, scale.units_per_mm, 22)) {
    const double y = scale.y(tick.mm);
    marks.lines.push_back({{beside, y}, {beside - tick.length, y}});
    if (tick.numbered)
      sketch.text("ruler-number", {beside - 15, y + 4, number_size, fixed(tick.mm, 0), false, Anchor::end},
                  colours::quiet_ink);
  }
  marks.lines.push_back({{scale.left, above}, {last_x, above}});
  marks.lines.push_back({{beside, scale.top}, {beside, last_y}});
  sketch.lines("ruler", std::move(marks), {colours::quiet_ink, 1});
  sketch.text("ruler-unit", {beside - 15, above - 15, number_size, "mm", true, Anchor::end},
              colours::quiet_ink);
  draw_up_marker(sketch, scale.x(width_mm / 2), scale.top - ruler_room - 6);
}

void draw_outline(Sketch& sketch, double width_mm, double height_mm, double corner_radius_mm,
                  const PanelScale& scale) {
  sketch.box("panel-outline",
             {scale.left, scale.top, scale.length(width_mm), scale.length(height_mm),
              scale.length(corner_radius_mm)},
             {}, Pen{colours::ink, 1.6});
}

}  // namespace paneproof
