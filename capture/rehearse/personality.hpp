// How one maker's firmware behaves. Sound panels differ widely, so each rehearsal draws one of eight
// families by its seed and then every figure within the family's range.
#pragma once

#include <cstdint>

#include "capture/rehearse/random.hpp"

namespace paneproof {

enum class FirmwareFamily {
  plain,      // light smoothing, no tricks
  smooth,     // smoothing that gives way with speed, contacts kept long after a loss
  lander,     // holds the position after a landing, then leaps
  predictor,  // linear prediction that overshoots
  strict,     // drops contacts at once, short matching distance, new ids quickly
  coaster,    // goes on reporting an extrapolated position after a loss
  parabolic,  // peak by three nodes: strong cyclic error along the pitch
  averager,   // slow mean over several scans, small movements suppressed
};
inline constexpr int firmware_families = 8;
inline constexpr const char* firmware_names[] = {"plain",  "smooth",  "lander",    "predictor",
                                                 "strict", "coaster", "parabolic", "averager"};

struct Personality {
  FirmwareFamily family = FirmwareFamily::plain;
  // Sensing.
  double pitch_mm = 5, inset = 0.4;  // lines, see make_grid
  bool rx_are_columns = true;
  double node_noise = 0.006;  // root mean square, 1 = a finger's signal
  // Finding touches.
  double on = 0.32, off = 0.22;  // thresholds to land and to stay
  int window = 1;                // centroid over (2 window + 1)^2 nodes
  double floor = 0.03;           // taken off each node before the centroid
  bool parabola = false;         // peak by a parabola instead
  double cyclic_mm = 0.1;        // largest position error along the pitch that the maker leaves in,
                                 // for a nominal contact inside the panel, 0.03..0.3
  double merge_mm = 11;          // two peaks nearer than this are one touch
  double border_cut_mm = 0.5;    // positions nearer to the border are not told
  bool cut_drops = false;        // beyond the cut: contact ends (true) or stays on the line
  // Following.
  double gate_mm = 15;         // farthest match from scan to scan
  int debounce = 1;            // scans before a landing is told
  int hold = 1;                // scans for which a lost contact is kept
  int coast = 0;               // of these, scans that tell an extrapolated position
  double landing_hold_s = 0;   // position kept after landing for at most this long,
  double landing_slop_mm = 0;  // or until the finger is this far away
  // Smoothing.
  double alpha = 1;              // share of the new position at rest, 0..1
  double alpha_per_mm_s = 0.01;  // added for each mm/s
  int average = 1;               // mean over this many scans
  double dead_move_mm = 0;       // smaller movements are not told
  double lead_s = 0;             // linear prediction
  // Rate.
  double idle_hz = 0;  // scan rate after `idle_after_s` without a touch; 0: always full
  double idle_after_s = 0.5;
  // Palms.
  double palm_nodes = 16;     // more nodes than this over `off`: a palm
  int palm_scans = 3;         // shown for so many scans before all is cancelled
  bool palm_named = true;     // tells the palm's contact by its tool type
  double palm_block_s = 0.2;  // nothing is told for so long after a palm
  // Telling.
  double units_per_mm = 10;
  bool tells_resolution = true;  // does the log say units/mm?
};

Personality draw_personality(FirmwareFamily family, Random& random);

// What the host does to the reports of a sound panel.
struct HostSpec {
  double scatter = 0.01;         // standard deviation of an interval, share of the interval
  double doubled = 0.01;         // share of scans that the host loses one by one
  double stalls_per_minute = 1;  // 30 to 150 ms without reports
  bool stall_bunches = false;    // the stalled reports come late, together; else they are lost
  std::int64_t clock_us = 1;     // timestamps are whole multiples of this
};

HostSpec draw_host(Random& random);

}  // namespace paneproof
