// How a panel is best swept: what `paneproof plan` prints and the page on the device says.
#pragma once

#include <string>

namespace paneproof {

struct RowPlan {
  double row_mm = 0;    // between rows
  double edge_mm = 0;   // from the outer rows to the edge
  double top_mm_s = 0;  // faster leaves gaps when the host drops a frame
  double pace_mm_s = 0;
  int rows = 0;        // along the long side
  double seconds = 0;  // for these rows
  int crossing_rows = 0;
  double crossing_seconds = 0;  // for as many along the short side
};

// Sides in mm; reports a second, 5 or more; a fingertip of 3 mm or more.
RowPlan row_plan(double width_mm, double height_mm, double rate_hz, double fingertip_mm);

// As people say it: "20 s", "3 min", "1 h 35 min"; rounded up.
std::string time_words(double seconds);

// The most that a seated arm reaches in one stroke without moving.
inline constexpr double arm_mm = 600;  // common practice, no source

}  // namespace paneproof
