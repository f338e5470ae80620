// The ways that a hand takes over a panel: rows, columns, a spiral, scribbles, two fingers, thumb
// arcs, a run along the border; with lifts, quick re-grips and ends beyond the border as people make
// them; and the places that a careless sweep leaves out.
#pragma once

#include <string>
#include <vector>

#include "capture/rehearse/finger.hpp"

namespace paneproof {

enum class SweepStyle { rows, columns, spiral, scribble, two_fingers, thumb_arcs };
inline constexpr const char* sweep_style_names[] = {"rows",     "columns",     "spiral",
                                                    "scribble", "two_fingers", "thumb_arcs"};

// What a careless hand leaves out.
enum class Omission { none, region, strip, lazy_edge, lazy_corners, wide_rows, early_stop };
inline constexpr const char* omission_names[] = {"none",         "region",    "strip",     "lazy_edge",
                                                 "lazy_corners", "wide_rows", "early_stop"};

struct HandSpec {
  SweepStyle style = SweepStyle::rows;
  double row_distance_mm = 5;  // 3..8; wide_rows takes 10..14 instead
  double overrun_mm = 2;       // rows end this far beyond the border; negative: short of it
  double wander_mm = 0.5;      // slow deviation of the way, root mean square
  bool lifts_at_row_ends = false;
  bool border_run = true;         // once along the border
  double lifts_per_minute = 5;    // on purpose, 80 to 600 ms in the air
  double regrips_per_minute = 3;  // 60 to 130 ms, half of them in motion
  bool repairs = true;            // goes again over places that were missed (but for the omission)
  Omission omission = Omission::none;
  Motion motion;
};

struct Box {
  double x = 0, y = 0, width = 0, height = 0;  // mm
  bool holds(Vec p) const { return p.x >= x && p.x <= x + width && p.y >= y && p.y <= y + height; }
};

struct HandPlan {
  std::vector<std::vector<Stroke>> fingers;  // strokes of each finger; all start at t = 0
  std::vector<Box> left_out;                 // where the hand does not go, by the omission
};

// Plans a sweep of a width x height mm panel; at least one finger with one stroke.
HandPlan plan_hand(const HandSpec& hand, double width_mm, double height_mm, Random random);

}  // namespace paneproof
