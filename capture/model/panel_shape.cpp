#include "capture/model/panel_shape.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace paneproof {
namespace {

// Pixels that pass for square are up to 8 % from it (800 x 480 on 154 x 86 mm). A wrong first digit is mostly
// further off than this, a wrong last one never.
constexpr double other_shape = 1.3;
// Ranges that differ by less than this are one range, trimmed at its ends: they tell no shape.
constexpr double alike = 1.15;

double times_apart(double a, double b) { return std::max(a / b, b / a); }

// A range that was chosen for its digits: 2^n or 10^n, or one less.
bool round_range(double span) {
  for (const double base : {2.0, 10.0})
    for (double power = 1; power <= 1e6; power *= base)
      if (power > 100 && (span == power || span + 1 == power)) return true;
  return false;
}

}  // namespace

void note_doubtful_size(const Axes& axes, const PanelRequest& request, Notes& notes) {
  if (axes.in_mm || !request.width_mm || !request.height_mm) return;
  const double width_mm = *request.width_mm, height_mm = *request.height_mm;
  const bool sideways = request.rotate_deg == 90 || request.rotate_deg == 270;
  const auto span = [](const std::optional<Axis>& axis, const std::optional<double>& told) {
    return axis ? axis->max - axis->min : told.value_or(0);
  };
  const double x = span(axes.x, request.range_x), y = span(axes.y, request.range_y);
  const double across = sideways ? y : x, down = sideways ? x : y;
  if (!(x > 0 && y > 0 && std::isfinite(x) && std::isfinite(y) && width_mm > 0 && height_mm > 0)) return;
  char text[240];
  if (axes.x && axes.y && axes.x->units_per_mm && axes.y->units_per_mm) {
    const Axis &level = sideways ? *axes.y : *axes.x, &upright = sideways ? *axes.x : *axes.y;
    const double own_width_mm = across / *level.units_per_mm, own_height_mm = down / *upright.units_per_mm;
    if (times_apart(own_width_mm, width_mm) < other_shape &&
        times_apart(own_height_mm, height_mm) < other_shape)
      return;
    std::snprintf(text, sizeof text,
                  "is the size %.10g x %.10g mm right? The log's units/mm say %.1f x %.1f mm", width_mm,
                  height_mm, own_width_mm, own_height_mm);
  } else {
    if (!axes.square_units && (times_apart(x, y) < alike || (round_range(x) && round_range(y)))) return;
    if (times_apart(across / down, width_mm / height_mm) < other_shape) return;
    std::snprintf(
        text, sizeof text,
        "is the size %.10g x %.10g mm right? The axes, %.10g x %.10g units, have another shape: with a "
        "width of %.10g mm they suggest a height of %.0f mm",
        width_mm, height_mm, across, down, width_mm, width_mm * down / across);
  }
  notes.add("size_in_doubt", text);
}

}  // namespace paneproof
