// A picture in the making: each call lays one shape on the page.
#pragma once

#include <utility>

#include "analyzer/report/picture.hpp"

namespace paneproof {

// From mm on the panel to page units. The panel's top left is at (left, top); one scale both ways.
struct PanelScale {
  double left = 0, top = 0, units_per_mm = 1;
  double x(double x_mm) const { return left + x_mm * units_per_mm; }
  double y(double y_mm) const { return top + y_mm * units_per_mm; }
  Spot at(double x_mm, double y_mm) const { return {x(x_mm), y(y_mm)}; }
  double length(double mm) const { return mm * units_per_mm; }
};

class Sketch {
 public:
  explicit Sketch(Picture& picture) : picture_(picture) {}

  void box(const char* role, const Rectangle& form, std::optional<Colour> fill, std::optional<Pen> pen = {}) {
    add({role, form, fill, pen});
  }
  void disc(const char* role, Spot centre, double radius, std::optional<Colour> fill,
            std::optional<Pen> pen = {}) {
    add({role, Disc{centre.x, centre.y, radius}, fill, pen});
  }
  void line(const char* role, std::vector<Spot> spots, const Pen& pen) {
    add({role, Polyline{std::move(spots), false}, {}, pen});
  }
  void polygon(const char* role, std::vector<Spot> spots, std::optional<Colour> fill,
               std::optional<Pen> pen = {}) {
    add({role, Polyline{std::move(spots), true}, fill, pen});
  }
  // Nothing when there are no lines.
  void lines(const char* role, Segments form, const Pen& pen) {
    if (!form.lines.empty()) add({role, std::move(form), {}, pen});
  }
  void text(const char* role, const Lettering& form, const Colour& colour) {
    if (!form.characters.empty()) add({role, form, colour, {}});
  }

 private:
  void add(Shape&& shape) { picture_.shapes.push_back(std::move(shape)); }
  Picture& picture_;
};

}  // namespace paneproof
