// The panel: size, axis ranges, rotation, rim and mask, where each came from, and every conversion
// from log units to mm. Origin top left, x right, y down.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "capture/model/notes.hpp"

namespace paneproof {

struct Recording;
struct Trace;

// One axis as the log or its companion describes it, in log units.
struct Axis {
  double min = 0, max = 0;             // max > min
  std::optional<double> units_per_mm;  // kernel "resolution", when known and not 0
};

struct Axes {
  std::optional<Axis> x, y;
  bool square_units = false;  // one unit is as long in x as in y (CSS px, a shared resolution)
  bool in_mm = false;         // positions are mm from the top left already; no range is needed
  std::string origin;         // "log", "axes file NAME", "--range", ...; "" when there are none
};

// A place that no finger can test. Lengths in mm in the turned panel.
struct MaskShape {
  enum class Kind { rectangle, circle } kind = Kind::rectangle;
  double x_mm = 0, y_mm = 0;           // rectangle: top left; circle: centre
  double width_mm = 0, height_mm = 0;  // circle: both the diameter
  std::string name;                    // "notch", "camera", ...
};

// The name of a mask that a recorder could not feel: a strip beside a page.
inline constexpr const char* out_of_reach_name = "out of reach of the page";

struct Panel {
  double width_mm = 0, height_mm = 0;
  double rim_mm = 0;            // strip along every edge that is not judged
  double corner_radius_mm = 0;  // glass corners outside this radius are masked
  std::vector<MaskShape> mask;
  std::string size_origin;  // "--panel", "log (units/mm)", "profile NAME", "--diagonal"

  // Is the point inside the glass, inside the rim line and outside the mask?
  bool judged(double x_mm, double y_mm) const;
};

// What the user (or a profile file) says about the panel. Empty fields are not said.
struct PanelRequest {
  std::optional<double> width_mm, height_mm;
  std::string size_origin;
  std::optional<double> diagonal_mm;
  std::optional<double> aspect;            // width / height, after turning
  std::optional<double> range_x, range_y;  // axis maxima, minimum 0
  int rotate_deg = 0;                      // clockwise, 0, 90, 180 or 270; before the size applies
  double rim_mm = 0, corner_radius_mm = 0;
  std::vector<MaskShape> mask;
};

// Log units to mm: mm = (v - min) / (max - min) x size, after turning; each rounded to a whole
// micrometre so that every format of one trace gives one result. Moves the reports, copies none. In a
// recording, half of the dragged thing becomes rim: the finger may be anywhere on it.
// Throws InputError (65) when the size or an axis is not known, saying which option tells it, and
// when many reports lie outside the axes. Notes a size that differs from the log's by over 2 %.
Trace scale(Recording&& recording, const PanelRequest& request, Notes& notes);

}  // namespace paneproof
