#include "analyzer/report/fault_marks.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "analyzer/report/colours.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

const Pen fault_pen{colours::fault, 2};
const Pen untested_pen{colours::ink, 2, 5, 4};
const Pen untested_plate_pen{colours::page, 4};
const Pen plate_pen{colours::page, 4.5};  // under a mark, so that it stands off the path

// Solid spot where contact was lost, open ring where it came back, a line between.
void dropout_mark(Sketch& sketch, Spot from, Spot to) {
  sketch.line("dropout", {from, to}, plate_pen);
  sketch.line("dropout", {from, to}, fault_pen);
  sketch.disc("dropout", from, 3.5, colours::fault, Pen{colours::page, 1});
  sketch.disc("dropout", to, 3.5, colours::page, Pen{colours::fault, 1.8});
}

void ghost_mark(Sketch& sketch, Spot at) {
  constexpr double reach = 6, slant = reach * 0.866, half = reach / 2;
  const Segments star{{{{at.x, at.y - reach}, {at.x, at.y + reach}},
                       {{at.x - slant, at.y - half}, {at.x + slant, at.y + half}},
                       {{at.x - slant, at.y + half}, {at.x + slant, at.y - half}}}};
  sketch.lines("ghost", star, plate_pen);
  sketch.lines("ghost", star, fault_pen);
}

void jump_mark(Sketch& sketch, Spot from, Spot to) {
  sketch.line("jump", {from, to}, {colours::fault, 1.4, 3, 3});
  for (const Spot& end : {from, to})
    sketch.box("jump", {end.x - 3, end.y - 3, 6, 6}, colours::page, Pen{colours::fault, 1.6});
}

void doubt_mark(Sketch& sketch, Spot from, Spot to) {
  sketch.line("doubt", {from, to}, plate_pen);
  sketch.line("doubt", {from, to}, {colours::ask, 1.6, 1.5, 4});
  const Spot middle{(from.x + to.x) / 2, (from.y + to.y) / 2};
  sketch.disc("doubt", middle, 7, colours::page, Pen{colours::ask, 1.4});
  sketch.text("doubt", {middle.x, middle.y + 4, 11, "?", true, Anchor::middle}, colours::ask);
}

void stroke_mark(Sketch& sketch, Spot from, Spot to) {
  const double length = std::hypot(to.x - from.x, to.y - from.y);
  sketch.line("stroke-left", {from, to}, {colours::ask, 2, 7, 5});
  if (length < 1) return;
  const double ux = (to.x - from.x) / length, uy = (to.y - from.y) / length;
  const double back = std::min(11.0, length), side = back * 0.45;
  const Spot root{to.x - ux * back, to.y - uy * back};
  sketch.polygon("stroke-left",
                 {to, {root.x - uy * side, root.y + ux * side}, {root.x + uy * side, root.y - ux * side}},
                 colours::ask, Pen{colours::page, 1});
}

void untested_mark(Sketch& sketch, Spot centre, double radius) {
  sketch.disc("untested-circle", centre, radius, {}, untested_plate_pen);
  sketch.disc("untested-circle", centre, radius, {}, untested_pen);
}

// The outline lies around the zone, so that the cells of a narrow one stay visible.
void zone_mark(Sketch& sketch, const Rectangle& zone, bool attested) {
  const Rectangle box{zone.x - 1.5, zone.y - 1.5, zone.width + 3, zone.height + 3};
  sketch.box("dead-zone", box, {}, plate_pen);
  sketch.box("dead-zone", box, {}, Pen{colours::fault, 2.4, attested ? 8.0 : 0.0, attested ? 5.0 : 0.0});
}

// The circle may reach beyond the glass, its centre lie on the very edge: only what lies on the glass
// is drawn.
void clipped_untested_mark(Sketch& sketch, Spot centre, double radius, const Rectangle& glass) {
  const double right = glass.x + glass.width, bottom = glass.y + glass.height;
  if (centre.x - radius >= glass.x && centre.x + radius <= right && centre.y - radius >= glass.y &&
      centre.y + radius <= bottom) {
    untested_mark(sketch, centre, radius);
    return;
  }
  constexpr int steps = 360;
  std::vector<Spot> arc;
  const auto finish_arc = [&] {
    if (arc.size() > 1) {
      sketch.line("untested-circle", arc, untested_plate_pen);
      sketch.line("untested-circle", arc, untested_pen);
    }
    arc.clear();
  };
  for (int step = 0; step <= steps; ++step) {
    const double angle = 2 * std::numbers::pi * step / steps;
    const Spot spot{centre.x + radius * std::cos(angle), centre.y + radius * std::sin(angle)};
    if (spot.x >= glass.x && spot.x <= right && spot.y >= glass.y && spot.y <= bottom)
      arc.push_back(spot);
    else
      finish_arc();
  }
  finish_arc();
}

class FaultDrawing {
 public:
  FaultDrawing(Sketch& sketch, const Findings& findings, const PanelScale& scale)
      : sketch_(sketch),
        findings_(findings),
        scale_(scale),
        labels_({scale.left, scale.top, scale.length(findings.panel_width_mm),
                 scale.length(findings.panel_height_mm)}) {}

  void draw() {
    each(findings_.quality.left, [&](const StrokeLeft& s) { stroke_mark(sketch_, at(s.from), at(s.to)); });
    each(findings_.dead_zones, [&](const DeadZone& z) { zone_mark(sketch_, box_of(z), z.attested); });
    each(findings_.jumps, [&](const Jump& j) { jump_mark(sketch_, at(j.from), at(j.to)); });
    each(findings_.dropouts,
         [&](const Dropout& d) { dropout_mark(sketch_, scale_.at(d.x_mm, d.y_mm), at(d.regained)); });
    each(findings_.doubts, [&](const Doubt& d) { doubt_mark(sketch_, at(d.from), at(d.to)); });
    each(findings_.ghosts, [&](const Ghost& g) { ghost_mark(sketch_, scale_.at(g.x_mm, g.y_mm)); });
    draw_untested();
    draw_labels();
  }

 private:
  template <typename Item, typename Draw>
  static void each(const std::vector<Item>& items, Draw draw) {
    std::for_each_n(items.begin(), std::min(items.size(), most_marks), draw);
  }
  Spot at(const Point& point) const { return scale_.at(point.x_mm, point.y_mm); }
  // The part of the zone on the glass, never thinner than its outline.
  Rectangle box_of(const DeadZone& zone) const {
    return {scale_.x(zone.x_mm), scale_.y(zone.y_mm), std::max(3.0, scale_.length(zone.width_mm)),
            std::max(3.0, scale_.length(zone.height_mm))};
  }

  Rectangle glass() const {
    return {scale_.left, scale_.top, scale_.length(findings_.panel_width_mm),
            scale_.length(findings_.panel_height_mm)};
  }

  void draw_untested() {
    const Circle& circle = findings_.coverage.largest_untested;
    if (circle.diameter_mm > 0)
      clipped_untested_mark(sketch_, scale_.at(circle.x_mm, circle.y_mm),
                            scale_.length(circle.diameter_mm) / 2, glass());
  }

  void draw_labels() {
    const std::vector<DeadZone>& zones = findings_.dead_zones;
    keep_marks_free();
    for (std::size_t i = 0; i < std::min(zones.size(), most_labels); ++i) label_zone(i);
    const Circle& circle = findings_.coverage.largest_untested;
    if (circle.diameter_mm <= 0) return;
    labels_.place(sketch_, "Ø " + untested_diameter(circle), seen_part(circle), colours::ink);
  }

  // The box of the circle, as far as it is on the glass.
  Rectangle seen_part(const Circle& circle) const {
    const Rectangle all = glass();
    const double radius = scale_.length(circle.diameter_mm) / 2;
    const double x = scale_.x(circle.x_mm), y = scale_.y(circle.y_mm);
    const double left = std::max(x - radius, all.x), top = std::max(y - radius, all.y);
    return {left, top, std::min(x + radius, all.x + all.width) - left,
            std::min(y + radius, all.y + all.height) - top};
  }

  void keep_marks_free() {
    const auto keep = [&](Spot spot) { labels_.keep_free({spot.x - 8, spot.y - 8, 16, 16}); };
    const auto few = [](const auto& items) { return items.size() <= 50; };
    if (few(findings_.ghosts))
      each(findings_.ghosts, [&](const Ghost& g) { keep(scale_.at(g.x_mm, g.y_mm)); });
    if (few(findings_.dropouts))
      each(findings_.dropouts, [&](const Dropout& d) { keep(scale_.at(d.x_mm, d.y_mm)); });
    if (few(findings_.doubts))
      each(findings_.doubts, [&](const Doubt& d) {
        keep(scale_.at((d.from.x_mm + d.to.x_mm) / 2, (d.from.y_mm + d.to.y_mm) / 2));
      });
    if (few(findings_.dead_zones))
      each(findings_.dead_zones, [&](const DeadZone& z) {
        if (slim(z)) labels_.keep_free(box_of(z));
      });
  }

  // Leaves the zone enough of the panel for its label?
  bool slim(const DeadZone& zone) const {
    return zone.width_mm < 0.4 * findings_.panel_width_mm || zone.height_mm < 0.4 * findings_.panel_height_mm;
  }

  // In full where there is room, else by its letter alone.
  void label_zone(std::size_t index) {
    const DeadZone& zone = findings_.dead_zones[index];
    const std::string letter = zone_letter(index);
    const bool across = zone.along == Along::column, level = zone.along == Along::row;
    // Losses all over have no size of their own.
    if (zone.kind == ZoneKind::bursts) {
      labels_.place(sketch_, letter + " " + called(zone), box_of(zone), colours::fault);
      return;
    }
    std::string size = fixed(across ? zone.width_mm : zone.height_mm, 1) + " mm";
    if (!across && !level) size = fixed(zone.width_mm, 1) + " x " + size;
    const Rectangle box = box_of(zone);
    if (!labels_.place(sketch_, letter + " " + called(zone) + " " + size, box, colours::fault))
      labels_.place(sketch_, letter, box, colours::fault);
  }

  static constexpr std::size_t most_labels = 40;
  Sketch& sketch_;
  const Findings& findings_;
  const PanelScale& scale_;
  Labels labels_;
};

// A sample's line from left to right through the middle of its place.
std::pair<Spot, Spot> across(const Rectangle& place) {
  const double y = place.y + place.height / 2;
  return {{place.x + 4, y}, {place.x + place.width - 4, y}};
}

Spot middle_of(const Rectangle& place) { return {place.x + place.width / 2, place.y + place.height / 2}; }

}  // namespace

std::string zone_letter(std::size_t index) {
  const std::string last(1, static_cast<char>('A' + index % 26));
  return index < 26 ? last : zone_letter(index / 26 - 1) + last;
}

void draw_fault_marks(Sketch& sketch, const Findings& findings, const PanelScale& scale) {
  FaultDrawing(sketch, findings, scale).draw();
}

void draw_zone_sample(Sketch& sketch, const Rectangle& place) { zone_mark(sketch, place, false); }

void draw_dropout_sample(Sketch& sketch, const Rectangle& place) {
  const auto [from, to] = across(place);
  dropout_mark(sketch, from, to);
}

void draw_ghost_sample(Sketch& sketch, const Rectangle& place) { ghost_mark(sketch, middle_of(place)); }

void draw_jump_sample(Sketch& sketch, const Rectangle& place) {
  const auto [from, to] = across(place);
  jump_mark(sketch, from, to);
}

void draw_doubt_sample(Sketch& sketch, const Rectangle& place) {
  const auto [from, to] = across(place);
  doubt_mark(sketch, {from.x - 4, from.y}, {to.x + 4, to.y});
}

void draw_untested_sample(Sketch& sketch, const Rectangle& place) {
  untested_mark(sketch, middle_of(place), place.height / 2);
}

void draw_stroke_sample(Sketch& sketch, const Rectangle& place) {
  const auto [from, to] = across(place);
  stroke_mark(sketch, {from.x - 4, from.y}, {to.x + 4, to.y});
}

}  // namespace paneproof
