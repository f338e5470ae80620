// What really happened in a rehearsal, for scoring an analysis.
#pragma once

#include <string>
#include <vector>

#include "capture/rehearse/faults.hpp"
#include "capture/rehearse/firmware.hpp"

namespace paneproof {

// Where a contact came from, or why one was missing.
enum class Cause : std::uint8_t {
  finger,  // a finger on the glass (of a contact); nothing known (of a loss): the firmware's own
  fault,   // a fault of the panel
  water,   // a blob of water
  palm,    // a palm, or what firmware does against palms
  merged,  // two fingers so near that the firmware tells one
};
inline constexpr const char* cause_names[] = {"firmware", "fault", "water", "palm", "merged"};

// A place on the panel every millimetre: cell (i, j) is centred on (i + 0.5, j + 0.5) mm.
struct Mask {
  int columns = 0, rows = 0;
  std::vector<char> cells;  // 0 or 1
  char at(int i, int j) const { return cells[static_cast<std::size_t>(j) * columns + i]; }
  double share() const;  // of cells that are set; 0 for an empty mask
};

// A finger was on the glass, pressed down and inside the border, and no contact followed it, although
// it would have on a sound panel.
struct Loss {
  int finger = 0;
  std::int64_t from_us = 0, to_us = 0;  // last scan that saw it (or its landing) to the next (or its lift)
  Vec from, to;                         // where the finger was then, mm
  Cause cause = Cause::finger;
  FaultKind fault = FaultKind::dead_line;  // where cause is fault
  bool since_landing = false, until_lift = false;
  int scans = 0;  // scans without it; 0 where another contact took the finger over at once
};

// A contact that no finger made: it landed where fingers gave less than half the threshold.
struct GhostTouch {
  std::int64_t t_us = 0;  // of its first report
  Vec at;                 // as reported, mm
  Cause cause = Cause::fault;
  std::uint32_t contact = 0;  // index in the recording
};

struct Truth {
  bool faulty = false;  // a fault was planted
  std::vector<FaultSpec> faults;
  std::vector<DeadPlace> dead_places;  // as planted
  std::vector<double> dead_met;        // share of each dead place within fingertip_reach_mm of a finger
  std::vector<int> dead_crossings;     // times that a finger went into each dead place
  Mask met;                            // a finger on the glass was within fingertip_reach_mm
  Mask blind;                          // a finger centred here is always unseen, though a sound panel sees it
  Mask unreachable;            // no finger anywhere makes this panel report here, though a sound one would
  double widest_unmet_mm = 0;  // diameter of the widest disc of unmet cells (centre on the panel)
  std::vector<std::vector<FingerSample>> fingers;  // every finger_step_us, on the recording's clock
  std::vector<std::int64_t> finger_start_us;       // time of each finger's first sample
  std::vector<Loss> losses;
  std::vector<GhostTouch> ghosts;
  // Jitter of the reported position across the path of a moving finger: root mean square of what is
  // left of (reported - finger) after a local quadratic over 0.08 s, unbiased for its degrees of
  // freedom; the constant lag that fits best is taken out first. So tremor, which is real motion, and
  // slow errors along the pitch are no part of it; noise, quantisation and supply noise are. Bends are left
  // out, as firmware cuts their corners, and fingers within jitter_inset_mm of the border: positions are
  // clipped or stretched there.
  double jitter_rms_mm = 0;
  std::int64_t jitter_reports = 0;
  double error_rms_mm = 0;  // the same difference without taking anything out
  // The same across the path, from the position that panel and firmware report of the same sweep without
  // noise (of nodes, units or a supply): what noise alone does, at any frequency. Errors that come again at
  // the same place, and the firmware's ways in a bend, are no part of it.
  double noise_rms_mm = 0;
  double noise_seen_mm = 0;  // of it what a quadratic over 0.06 s leaves, unbiased for independent errors
  double rate_hz = 0;        // scan rate of the controller while touched
  int palms = 0, water_blobs = 0;  // that were put on the glass
};

inline constexpr double fingertip_reach_mm = 4;
inline constexpr double jitter_inset_mm = 3;

// Places that fingers came near, on the glass.
Mask met_mask(const std::vector<std::vector<FingerSample>>& fingers, double width_mm, double height_mm);
// Diameter of the widest disc without a set cell, centred on the panel; 0 if all are set.
double widest_gap(const Mask& mask);
// Blind and unreachable places of a panel with faults that are always there.
void map_dead(const NodeGrid& grid, const Personality& personality, const Faults& faults, Mask& blind,
              Mask& unreachable);
// Share of a dead place that is set in the mask; 0 when it holds no cell.
double share_met(const DeadPlace& place, const Mask& met);
bool inside(const DeadPlace& place, Vec at);

}  // namespace paneproof
