// Silences: stretches of a sweep in which a moving finger was not reported, or may not have been.
//
// Three kinds. A *leap* is a step within one contact, at the usual interval, far longer than the pace on
// either side explains: the reports jump over a place. A *hole* is a step within one contact that took
// several intervals while the finger moved on: the host, or the panel, missed reports. A *loss* is a
// contact that ended while moving and another that landed where that motion leads.
//
// No silence is kept where a sound panel and a common hand make one: a landing's hold and leap, a lift
// at rest, a turn at the row's end, a finger that ran off the glass, fingers that merge or exchange
// their numbers, contacts that the system cancelled, stretches in which the capture lost events.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct Silence {
  enum class Kind : std::uint8_t { leap, hole, loss } kind = Kind::leap;
  std::uint32_t before = 0, after = 0;  // the reports on either side
  Point from, to;
  double t_s = 0, gap_s = 0, gap_mm = 0;
  double speed_mm_s = 0;   // pace of the finger about it
  double interval_s = 0;   // usual interval of the contact
  double excess_mm = 0;    // gap beyond what the pace explains
  bool one_sided = false;  // loss: only one end is fit to tell; no doubt by itself, only where it repeats
  bool mistimed =
      false;  // loss: covered less way than the finger's pace makes in that time: a hand in the air
  std::uint32_t sweep = 0;
  int missed() const;  // reports missed at the usual interval
};

// The bare gap between two reports: kind, places and times; what tells of the finger's way is left at 0.
Silence silence_between(const Trace& trace, const std::vector<double>& usual_s, Silence::Kind kind,
                        std::uint32_t before, std::uint32_t after);

// In order of time within each sweep. usual_s: per contact, from usual_intervals_s; counts: per contact,
// 0 for those that are no finger of the sweep (ghosts, palms).
std::vector<Silence> silences(const Trace& trace, const std::vector<double>& usual_s,
                              const std::vector<std::uint8_t>& counts);

// Breaks at places that are known to be faulty: contacts that ended and came back within 0.7 s where
// `faulty(x_mm, y_mm)` holds at both ends and between them, whatever their motion (a finger that turned on
// the dead place), other than those in `known`. In order of time within each sweep.
std::vector<Silence> breaks_at(const Trace& trace, const std::vector<double>& usual_s,
                               const std::vector<std::uint8_t>& counts, const std::vector<Silence>& known,
                               const std::function<bool(double, double)>& faulty);

}  // namespace paneproof
