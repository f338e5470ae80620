// Drawing specifications: which panel, hand, firmware and fault a seed stands for.
#include <algorithm>

#include "capture/rehearse/rehearsal.hpp"

namespace paneproof {
namespace {

void draw_panel(RehearsalSpec& spec, Random& r) {
  const double kind = r.uniform();
  if (kind < 0.65) {
    spec.width_mm = r.uniform(58, 76);
    spec.height_mm = spec.width_mm * r.uniform(1.75, 2.2);
  } else if (kind < 0.85) {
    spec.width_mm = r.uniform(50, 64);
    spec.height_mm = r.uniform(84, 112);
  } else {
    spec.width_mm = r.uniform(105, 150);
    spec.height_mm = spec.width_mm * r.uniform(1.35, 1.6);
  }
  spec.width_mm = std::floor(spec.width_mm * 10 + 0.5) / 10;
  spec.height_mm = std::floor(spec.height_mm * 10 + 0.5) / 10;
  const double rates[] = {60, 80, 90, 100, 120, 120, 125, 135, 166, 180, 240};
  spec.rate_hz = rates[r.below(11)] * r.uniform(0.985, 1.015);
}

void draw_hand(RehearsalSpec& spec, bool complete, Random& r) {
  HandSpec& hand = spec.hand;
  const double style = r.uniform();
  hand.style = style < 0.36   ? SweepStyle::rows
               : style < 0.58 ? SweepStyle::columns
               : style < 0.7  ? SweepStyle::spiral
               : style < 0.82 ? SweepStyle::scribble
               : style < 0.92 ? SweepStyle::two_fingers
                              : SweepStyle::thumb_arcs;
  hand.row_distance_mm = complete ? r.uniform(3, 5.5) : r.uniform(3, 8);
  hand.overrun_mm = r.chance(0.5) ? r.uniform(0, 6) : r.uniform(-1.5, 1);
  hand.wander_mm = r.uniform(0.15, 0.7);
  hand.lifts_at_row_ends = r.chance(0.4);
  hand.border_run = r.chance(0.6);
  hand.lifts_per_minute = r.chance(0.2) ? 0 : r.uniform(1, 12);
  hand.regrips_per_minute = r.chance(0.4) ? 0 : r.uniform(1, 8);
  hand.repairs = complete || r.chance(0.5);
  Motion& motion = hand.motion;
  motion.speed_mm_s = r.log_uniform(40, 350);
  // Nobody sweeps so fast that a scan leaves half a fingertip untouched, when all is to be proven.
  if (complete) motion.speed_mm_s = std::min(motion.speed_mm_s, 2.6 * spec.rate_hz);
  motion.speed_spread = r.uniform(0.08, 0.3);
  motion.turn_accel_mm_s2 = r.uniform(1500, 5000);
  motion.accel_mm_s2 = r.uniform(800, 3000);
  motion.tremor_mm = r.log_uniform(0.03, 0.15);
  motion.pressure_spread = r.uniform(0.02, 0.1);
  motion.dwell_s = r.uniform(0.0, 0.09);
  motion.land_ramp_s = r.uniform(0.012, 0.04);
  motion.lift_ramp_s = r.uniform(0.012, 0.035);
  spec.contact_mm = r.uniform(7, 10);
  if (r.chance(0.12)) spec.palms = r.between(1, 2);
  if (r.chance(0.08)) spec.water_blobs = r.between(1, 2);
}

RehearsalSpec draw(std::uint64_t seed, bool complete, Random& r) {
  RehearsalSpec spec;
  spec.seed = seed;
  draw_panel(spec, r);
  draw_hand(spec, complete, r);
  return spec;
}

FaultKind draw_kind(Random& r) {
  // Faults of the glass more often than askew positions.
  const int weights[fault_kinds] = {4, 4, 4, 3, 3, 3, 2, 3, 1, 1};
  int left = r.below(28);
  for (int k = 0; k < fault_kinds; ++k)
    if ((left -= weights[k]) < 0) return static_cast<FaultKind>(k);
  return FaultKind::dead_line;
}

}  // namespace

RehearsalSpec random_spec(std::uint64_t seed, FaultKind kind) {
  Random r(seed, 100);
  RehearsalSpec spec = draw(seed, true, r);
  spec.faults.push_back(random_fault(kind, spec.width_mm, spec.height_mm, r));
  return spec;
}

RehearsalSpec random_spec(std::uint64_t seed, Mix mix) {
  Random r(seed, 101);
  double part = r.uniform();
  if (mix == Mix::good_complete) part = 0;
  if (mix == Mix::good_incomplete) part = 0.4;
  if (mix == Mix::one_fault) part = 0.6;
  const bool omits = part >= 0.33 && part < 0.53;
  RehearsalSpec spec = draw(seed, !omits, r);
  if (omits) spec.hand.omission = static_cast<Omission>(r.between(1, 6));
  if (part >= 0.53) {
    spec.faults.push_back(random_fault(draw_kind(r), spec.width_mm, spec.height_mm, r));
    if (mix == Mix::mixed && r.chance(0.08))
      spec.faults.push_back(random_fault(draw_kind(r), spec.width_mm, spec.height_mm, r));
  }
  return spec;
}

}  // namespace paneproof
