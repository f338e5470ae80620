#include "capture/rehearse/personality.hpp"

namespace paneproof {
namespace {

Personality draw_common(Random& r) {
  Personality p;
  p.pitch_mm = r.uniform(4, 6);
  p.inset = r.uniform(0.25, 0.5);
  p.rx_are_columns = r.chance(0.5);
  p.node_noise = r.log_uniform(0.001, 0.008);
  p.on = r.uniform(0.26, 0.36);
  p.off = p.on * r.uniform(0.6, 0.8);
  p.window = p.pitch_mm > 4.7 || r.chance(0.4) ? 1 : 2;
  // A wide window would reach into a neighbouring finger without a floor.
  p.floor = p.window == 1 ? r.uniform(0.0, 0.06) : r.uniform(0.06, 0.1);
  p.cyclic_mm = r.log_uniform(0.03, 0.2);
  p.merge_mm = r.uniform(9, 16);
  p.border_cut_mm = r.chance(0.4) ? 0 : r.uniform(0.2, 2.0);
  p.cut_drops = p.border_cut_mm > 0 && r.chance(0.3);
  p.gate_mm = r.uniform(9, 22);
  p.debounce = r.between(1, 2);
  p.hold = r.between(0, 2);
  p.alpha = r.uniform(0.5, 0.9);
  p.alpha_per_mm_s = r.log_uniform(0.002, 0.02);
  if (r.chance(0.35)) {
    p.idle_hz = r.uniform(20, 45);
    p.idle_after_s = r.uniform(0.15, 1.0);
  }
  p.palm_nodes = 400 / (p.pitch_mm * p.pitch_mm);
  p.palm_scans = r.between(1, 6);
  p.palm_named = r.chance(0.5);
  p.palm_block_s = r.uniform(0.05, 0.4);
  p.units_per_mm = r.chance(0.5) ? r.uniform(10, 20) : r.log_uniform(10, 100);
  p.tells_resolution = r.chance(0.6);
  return p;
}

}  // namespace

Personality draw_personality(FirmwareFamily family, Random& r) {
  Personality p = draw_common(r);
  p.family = family;
  switch (family) {
    case FirmwareFamily::plain:
      p.alpha = r.uniform(0.7, 1.0);
      break;
    case FirmwareFamily::smooth:
      p.alpha = r.uniform(0.12, 0.35);
      p.alpha_per_mm_s = r.log_uniform(0.001, 0.006);
      p.hold = r.between(2, 6);
      break;
    case FirmwareFamily::lander:
      p.landing_hold_s = r.uniform(0.056, 0.134);
      p.landing_slop_mm = r.uniform(2, 6);
      break;
    case FirmwareFamily::predictor:
      p.lead_s = r.uniform(0.006, 0.022);
      p.alpha = r.uniform(0.3, 0.7);
      break;
    case FirmwareFamily::strict:
      p.hold = 0;
      p.gate_mm = r.uniform(5.5, 9);
      p.merge_mm = r.uniform(7, 11);
      break;
    case FirmwareFamily::coaster:
      p.hold = r.between(3, 9);
      p.coast = r.between(1, 4);
      p.gate_mm = r.uniform(15, 30);
      break;
    case FirmwareFamily::parabolic:
      p.parabola = true;
      p.window = 1;
      p.floor = r.uniform(0.0, 0.03);
      p.cyclic_mm = r.log_uniform(0.12, 0.3);
      break;
    case FirmwareFamily::averager:
      p.average = r.between(2, 4);
      p.dead_move_mm = r.uniform(0.0, 0.15);
      break;
  }
  if (family != FirmwareFamily::lander && r.chance(0.25)) {
    p.landing_hold_s = r.uniform(0.03, 0.09);
    p.landing_slop_mm = r.uniform(1, 3);
  }
  return p;
}

HostSpec draw_host(Random& r) {
  HostSpec h;
  h.scatter = r.log_uniform(0.002, 0.07);
  h.doubled = r.chance(0.3) ? r.uniform(0, 0.002) : r.log_uniform(0.005, 0.1);
  h.stalls_per_minute = r.chance(0.4) ? 0 : r.uniform(0.3, 4);
  h.stall_bunches = r.chance(0.4);
  const double clock = r.uniform();
  h.clock_us = clock < 0.7 ? 1 : clock < 0.85 ? 100 : 1000;
  return h;
}

}  // namespace paneproof
