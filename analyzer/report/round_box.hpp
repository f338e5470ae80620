// The outline of a box with round corners, for every page that Cairo draws.
#pragma once

#include <cairo.h>

#include <algorithm>
#include <numbers>

#include "analyzer/report/picture.hpp"

namespace paneproof {

// The radius that fits: at most half the box's shorter side.
inline double round_radius(const Rectangle& form) {
  return std::min({form.radius, form.width / 2, form.height / 2});
}

// Adds the outline to the path, clockwise from the top right corner. round_radius(form) > 0.
inline void round_box(cairo_t* cairo, const Rectangle& form) {
  constexpr double quarter = std::numbers::pi / 2;
  const double r = round_radius(form), right = form.x + form.width, bottom = form.y + form.height;
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, right - r, form.y + r, r, -quarter, 0);
  cairo_arc(cairo, right - r, bottom - r, r, 0, quarter);
  cairo_arc(cairo, form.x + r, bottom - r, r, quarter, 2 * quarter);
  cairo_arc(cairo, form.x + r, form.y + r, r, 2 * quarter, 3 * quarter);
  cairo_close_path(cairo);
}

}  // namespace paneproof
