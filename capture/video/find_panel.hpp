// The lit panel of a filmed device: a quadrilateral that is lighter inside than right outside, all round.
#pragma once

#include <optional>

#include "capture/video/rectify.hpp"

namespace paneproof::video {

// Corners in px of the plane, in the order of Corners; nothing when no quadrilateral of a tenth of the
// picture or more stands out on all four sides, or when its sides run exactly along the picture's: then it is
// drawn, and the picture is a screen's own.
std::optional<Corners> find_panel(const Plane& plane);

// Does what lies about the panel differ here and there between two pictures, as a camera's grain makes it and
// no drawn picture does?
bool grainy(const Plane& a, const Plane& b, const Corners& panel);

// Moves each side to where the picture steps most, within `reach` px; the corners are where the sides meet.
Corners settle_sides(const Plane& plane, const Corners& corners, double reach);

}  // namespace paneproof::video
