// The hand: where each finger is, how hard it touches and when it is on the glass, as a function of
// time. Paths come from sweep_path; here they get a speed, tremor and lifts.
//
// Speed slows in turns so that the sideways acceleration stays human, and varies slowly along the
// way. Tremor: 8 to 12 Hz (Lakie 2015, Sutton and Sykes 1967), 30 um at rest to five times that with
// the arm extended (Growdon 2000).
#pragma once

#include <cstdint>
#include <vector>

#include "capture/rehearse/random.hpp"

namespace paneproof {

struct Vec {
  double x = 0, y = 0;  // mm; origin top left of the sensing area, x right, y down
};

// One way of the finger over the glass, from landing to lift.
struct Stroke {
  std::vector<Vec> points;  // mm, a polyline
  double air_before_s = 0;  // time in the air before it lands
  bool lands_moving = false, lifts_moving = false;
};

struct Motion {
  double speed_mm_s = 120;         // mean on straight ways, 40..350
  double speed_spread = 0.2;       // standard deviation of its slow logarithmic variation
  double turn_accel_mm_s2 = 2500;  // largest sideways acceleration
  double accel_mm_s2 = 1500;       // along the path
  double tremor_mm = 0.06;         // amplitude (peak) across any axis
  double pressure_spread = 0.05;   // slow variation of the touch strength
  double dwell_s = 0.04;           // rests this long after landing, if it does not land in motion
  double land_ramp_s = 0.03, lift_ramp_s = 0.025;  // time in which the flesh spreads and leaves
};

// State of a finger at a time.
struct FingerSample {
  std::int64_t t_us = 0;
  Vec at;
  double touch = 0;   // 0 in the air, about 1 fully down
  bool down = false;  // flesh on the glass (or on its frame)
};

inline constexpr std::int64_t finger_step_us = 2000;  // samples are this far apart, from t = 0

// A finger's whole sweep, sampled every finger_step_us. `pace` decides the speed, so that fingers
// given equal strokes and equal pace move together; `tremble` is the finger's own.
std::vector<FingerSample> move_finger(const std::vector<Stroke>& strokes, const Motion& motion, Random pace,
                                      Random tremble);

// Between two samples, at a time since the first; before and after the sweep the finger is in the air.
FingerSample finger_at(const std::vector<FingerSample>& samples, std::int64_t t_us);

// The points at even distance along a polyline; at least its two ends.
std::vector<Vec> resample(const std::vector<Vec>& points, double step_mm);

}  // namespace paneproof
