#include "capture/model/panel.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

#include "capture/model/input_error.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {
namespace {

constexpr double kSmallest_mm = 10, kLargest_mm = 2000;
constexpr double kSameSize = 0.02;  // sizes that differ by less are one size
constexpr double kSwappedShape =
    1.1;  // as many times at most from the axes' shape once width and height are swapped
constexpr double kOtherShape = 1.5;    // as many times from it as they were given
constexpr double kOutside = 0.02;      // of the size, beyond the axes
constexpr double kManyOutside = 0.05;  // of the reports

std::string printed(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.10g", value);
  return text;
}

std::string printed_mm(double width_mm, double height_mm) {
  char text[60];
  std::snprintf(text, sizeof text, std::max(width_mm, height_mm) < 1e6 ? "%.1f x %.1f mm" : "%.3g x %.3g mm",
                width_mm, height_mm);
  return text;
}

bool turns_sideways(const PanelRequest& request) {
  return request.rotate_deg == 90 || request.rotate_deg == 270;
}

struct Size {
  double width_mm = 0, height_mm = 0;
  std::string origin;
};

bool differ(double a, double b) { return std::abs(a - b) > kSameSize * std::max(std::abs(a), std::abs(b)); }

Size by_diagonal(double diagonal_mm, double aspect) {
  const double height_mm = diagonal_mm / std::sqrt(1 + aspect * aspect);
  return {aspect * height_mm, height_mm, "--diagonal"};
}

// Whole micrometres, in mm. The small addend lifts what a hair of rounding kept below a half.
double whole_um(double mm) { return std::floor(mm * 1000 + 0.5 + 1e-6) / 1000.0; }

// The axes that count: the log's (or its companion's); --range only where there are none.
Axes chosen_axes(const Recording& recording, const PanelRequest& request, Notes& notes) {
  Axes axes = recording.axes;
  if (axes.in_mm && (request.range_x || request.range_y))
    notes.add("range_unused", "--range is not used: the positions are mm already");
  if (axes.in_mm) return axes;
  const auto take = [&](std::optional<Axis>& axis, const std::optional<double>& range) {
    if (!range) return;
    if (axis && (axis->min != 0 || axis->max != *range))
      notes.add("range_unused", "--range " + printed(*range) + " is not used: the " + axes.origin +
                                    " tells " + printed(axis->min) + " to " + printed(axis->max));
    if (axis) return;
    axis = Axis{0, *range, std::nullopt};
    axes.origin = "--range";
  };
  take(axes.x, request.range_x);
  take(axes.y, request.range_y);
  return axes;
}

bool whole(const std::optional<Axis>& axis) {
  return axis && std::isfinite(axis->min) && std::isfinite(axis->max) && axis->max > axis->min &&
         std::isfinite(axis->max - axis->min);
}

void check_axes(const Axes& axes, const std::string& file) {
  if (axes.in_mm || (whole(axes.x) && whole(axes.y))) return;
  throw InputError(file, "", "expected the ranges of the touch axes, which this log does not tell",
                   "give --range WIDTHxHEIGHT (the axes' maxima), or --axes FILE with a getevent -lp list");
}

// Positions in mm run over the panel as it was before turning; whole micrometres, as the panel's size is,
// so that a place keeps its mm.
Axes axes_in_mm(const Size& size, bool sideways) {
  const double width_mm = whole_um(size.width_mm), height_mm = whole_um(size.height_mm);
  Axes axes;
  axes.x = Axis{0, sideways ? height_mm : width_mm, 1.0};
  axes.y = Axis{0, sideways ? width_mm : height_mm, 1.0};
  axes.origin = size.origin;
  return axes;
}

// The size that units/mm give, after turning.
std::optional<Size> own_size(const Axes& axes, bool sideways) {
  if (!whole(axes.x) || !whole(axes.y)) return std::nullopt;
  if (!axes.x->units_per_mm || !axes.y->units_per_mm) return std::nullopt;
  const double x_mm = (axes.x->max - axes.x->min) / *axes.x->units_per_mm;
  const double y_mm = (axes.y->max - axes.y->min) / *axes.y->units_per_mm;
  if (!std::isfinite(x_mm) || !std::isfinite(y_mm)) return std::nullopt;
  return Size{sideways ? y_mm : x_mm, sideways ? x_mm : y_mm, axes.origin + " (units/mm)"};
}

// Width over height of the turned panel, for a size by its diagonal.
double aspect_of(const Axes& axes, const PanelRequest& request, const std::string& file, Notes& notes) {
  if (request.aspect) return *request.aspect;
  if (!whole(axes.x) || !whole(axes.y))
    throw InputError(file, "", "expected --aspect with --diagonal, for this log tells no axis ranges",
                     "give --aspect WIDTH:HEIGHT, or --panel WIDTHxHEIGHT in mm");
  const double x = axes.x->max - axes.x->min, y = axes.y->max - axes.y->min;
  const bool shared = axes.x->units_per_mm && axes.x->units_per_mm == axes.y->units_per_mm;
  // A controller that scales both axes to one range (0 to 32767) tells nothing of the shape.
  if (x == y && !axes.square_units && !shared)
    throw InputError(file, "", "expected --aspect with --diagonal, for both axes have the same range",
                     "give --aspect WIDTH:HEIGHT, or --panel WIDTHxHEIGHT in mm");
  if (!axes.square_units && !shared)
    notes.add("taken_as_square", "the shape of the panel was taken from the axis ranges " + printed(x) +
                                     " x " + printed(y) +
                                     ", one unit as long in x as in y; --panel is surer");
  return turns_sideways(request) ? y / x : x / y;
}

// How many times one is wider for its height than the other; 1 for one shape.
double times_apart(double shape, double other) { return std::max(shape / other, other / shape); }

// Width and height in each other's place would squeeze every distance one way and could hide what a pass
// rules out. Axes of unlike ranges show it; where both have one range, or ranges of another shape, nothing is
// known.
void refuse_swapped_sides(const Size& size, const Axes& axes, bool sideways, const std::string& file) {
  if (axes.in_mm || size.origin == "--diagonal") return;
  const double x = axes.x->max - axes.x->min, y = axes.y->max - axes.y->min;
  const double of_axes = sideways ? y / x : x / y, of_size = size.width_mm / size.height_mm;
  if (times_apart(of_size, of_axes) < kOtherShape || times_apart(1 / of_size, of_axes) > kSwappedShape)
    return;
  throw InputError(file, "",
                   "expected a panel as the axes lie, " + printed(sideways ? y : x) + " x " +
                       printed(sideways ? x : y) + " units, but " + size.origin + " says " +
                       printed_mm(size.width_mm, size.height_mm),
                   "swap width and height, or turn the axes with --rotate 90 or 270");
}

// Named size first, then the diagonal, then the log's own.
Size chosen_size(const Axes& axes, const PanelRequest& request, const std::string& file, Notes& notes) {
  const std::optional<Size> own = own_size(axes, turns_sideways(request));
  Size size;
  if (request.width_mm && request.height_mm)
    size = {*request.width_mm, *request.height_mm,
            request.size_origin.empty() ? "--panel" : request.size_origin};
  else if (request.diagonal_mm)
    size = by_diagonal(*request.diagonal_mm, aspect_of(axes, request, file, notes));
  else if (own)
    return *own;
  else
    throw InputError(file, "", "expected the size of the panel, which this log does not tell",
                     "give --panel WIDTHxHEIGHT in mm, or --diagonal");
  if (own && (differ(own->width_mm, size.width_mm) || differ(own->height_mm, size.height_mm)))
    notes.add("size_differs", size.origin + " " + printed_mm(size.width_mm, size.height_mm) +
                                  " is used; the log's units/mm say " +
                                  printed_mm(own->width_mm, own->height_mm));
  return size;
}

void check_size(const Size& size, const std::string& file) {
  const auto sane = [](double mm) { return mm >= kSmallest_mm && mm <= kLargest_mm; };  // false for NaN
  if (sane(size.width_mm) && sane(size.height_mm)) return;
  throw InputError(file, "",
                   "expected a panel of 10 to 2000 mm a side, not " +
                       printed_mm(size.width_mm, size.height_mm) + " (" + size.origin + ")",
                   "give --panel WIDTHxHEIGHT in mm");
}

// One clockwise turn of a place in the unit square; 90 takes the top left to the top right.
std::pair<double, double> turned(double u, double v, int rotate_deg) {
  switch (rotate_deg) {
    case 90:
      return {1 - v, u};
    case 180:
      return {1 - u, 1 - v};
    case 270:
      return {v, 1 - u};
    default:
      return {u, v};
  }
}

void check_inside(const Recording& recording, const Axes& axes, const std::string& file) {
  if (recording.source.recording) return;  // a dragged thing's middle may lie outside of the picture
  const auto beyond = [](const Axis& axis, double value) {
    const double room = kOutside * (axis.max - axis.min);
    return !(value >= axis.min - room && value <= axis.max + room);
  };
  std::size_t outside = 0;
  double largest_x = axes.x->min, largest_y = axes.y->min;
  for (const Report& report : recording.reports) {
    if (beyond(*axes.x, report.x) || beyond(*axes.y, report.y)) ++outside;
    largest_x = std::max(largest_x, report.x);
    largest_y = std::max(largest_y, report.y);
  }
  if (static_cast<double>(outside) <= kManyOutside * static_cast<double>(recording.reports.size())) return;
  throw InputError(file, "",
                   "expected positions within the axes (x " + printed(axes.x->min) + " to " +
                       printed(axes.x->max) + ", y " + printed(axes.y->min) + " to " + printed(axes.y->max) +
                       ", " + axes.origin + "), but the largest are x " + printed(largest_x) + ", y " +
                       printed(largest_y),
                   "check --range or the axes file: are they of this device?");
}

}  // namespace

bool Panel::judged(double x_mm, double y_mm) const {
  if (!(x_mm >= rim_mm && x_mm <= width_mm - rim_mm && y_mm >= rim_mm && y_mm <= height_mm - rim_mm))
    return false;
  // In a corner's square the glass ends at the corner's circle.
  const double r = std::min({corner_radius_mm, width_mm / 2, height_mm / 2});
  const double dx = std::max({r - x_mm, x_mm - (width_mm - r), 0.0});
  const double dy = std::max({r - y_mm, y_mm - (height_mm - r), 0.0});
  if (dx > 0 && dy > 0 && dx * dx + dy * dy > r * r) return false;
  for (const MaskShape& shape : mask) {
    if (shape.kind == MaskShape::Kind::circle) {
      const double cx = x_mm - shape.x_mm, cy = y_mm - shape.y_mm, radius = shape.width_mm / 2;
      if (cx * cx + cy * cy <= radius * radius) return false;
    } else if (x_mm >= shape.x_mm && x_mm <= shape.x_mm + shape.width_mm && y_mm >= shape.y_mm &&
               y_mm <= shape.y_mm + shape.height_mm) {
      return false;
    }
  }
  return true;
}

Trace scale(Recording&& recording, const PanelRequest& request, Notes& notes) {
  const std::string file = recording.source.file;
  Axes axes = chosen_axes(recording, request, notes);
  check_axes(axes, file);
  const Size size = chosen_size(axes, request, file, notes);
  check_size(size, file);
  refuse_swapped_sides(size, axes, turns_sideways(request), file);
  if (axes.in_mm) axes = axes_in_mm(size, turns_sideways(request));
  check_inside(recording, axes, file);

  Trace trace;
  trace.panel = {whole_um(size.width_mm),
                 whole_um(size.height_mm),
                 request.rim_mm,
                 request.corner_radius_mm,
                 request.mask,
                 size.origin};
  const double x_span = axes.x->max - axes.x->min, y_span = axes.y->max - axes.y->min;
  const auto place = [&](auto& at) {
    const auto [u, v] =
        turned((at.x - axes.x->min) / x_span, (at.y - axes.y->min) / y_span, request.rotate_deg);
    at.x = whole_um(u * trace.panel.width_mm);
    at.y = whole_um(v * trace.panel.height_mm);
  };
  for (Report& report : recording.reports) place(report);
  if (recording.source.recording) {
    const bool sideways = turns_sideways(request);
    const double x_mm = (sideways ? trace.panel.height_mm : trace.panel.width_mm) / x_span;
    const double y_mm = (sideways ? trace.panel.width_mm : trace.panel.height_mm) / y_span;
    for (Report& report : recording.reports) report.sd *= static_cast<float>((x_mm + y_mm) / 2);
    for (LetGo& let_go : recording.let_gos) place(let_go);
    RecordingFacts& facts = *recording.source.recording;
    facts.half_width *= x_mm, facts.half_height *= y_mm;
    if (sideways) std::swap(facts.half_width, facts.half_height);
    // The finger may be anywhere on the dragged thing.
    trace.panel.rim_mm = std::max({trace.panel.rim_mm, facts.half_width, facts.half_height});
  }
  for (const OutOfReach& strip : recording.out_of_reach) {
    const auto [u, v] =
        turned((strip.x - axes.x->min) / x_span, (strip.y - axes.y->min) / y_span, request.rotate_deg);
    const auto [s, t] = turned((strip.x + strip.width - axes.x->min) / x_span,
                               (strip.y + strip.height - axes.y->min) / y_span, request.rotate_deg);
    trace.panel.mask.push_back({MaskShape::Kind::rectangle, whole_um(std::min(u, s) * trace.panel.width_mm),
                                whole_um(std::min(v, t) * trace.panel.height_mm),
                                whole_um(std::abs(u - s) * trace.panel.width_mm),
                                whole_um(std::abs(v - t) * trace.panel.height_mm), out_of_reach_name});
  }
  trace.reports = std::move(recording.reports);
  trace.contacts = std::move(recording.contacts);
  trace.holes = std::move(recording.holes);
  trace.let_gos = std::move(recording.let_gos);
  trace.sweeps.push_back(std::move(recording.source));
  return trace;
}

}  // namespace paneproof
