// Visits to a side of the panel: how near contacts come to it before they turn away or end.
//
// A hand turns where it means to within a few mm; glass that does not feel the finger ends or turns all
// visits at one depth, whatever the hand did.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/side.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct Visit {
  // How it came to its end: the contact turned away, ended, or had begun there. Firmware reports an end and a
  // beginning at depths of their own: one is held, the other comes late.
  enum class Kind : std::uint8_t { turned, ended, began } kind = Kind::turned;
  Point place;                        // the nearest report of the visit
  double depth_mm = 0, along_mm = 0;  // from the side, and along it
  bool in_motion = false;             // ended or begun in full motion
};
inline constexpr int visit_kinds = 3;

inline constexpr double alike_mm = 1.0;  // visits within this of each other come to an end at one depth
inline constexpr double about_mm = 4.0;  // and those up to this much further off might have as well

// All visits that come nearer to the side by 3 mm or more, by depth; of visits as deep, the earlier first.
// Ends::all: ends and beginnings of contacts that come no nearer, too (a finger that rubs along a dead line).
enum class Ends : std::uint8_t { nearing, all };
std::vector<Visit> visits_to(const Trace& trace, const std::vector<std::uint8_t>& counts, Side side,
                             Ends ends = Ends::nearing);

std::vector<Visit> of_kind(const std::vector<Visit>& visits, Visit::Kind kind);

// Visits [first, last) within a width of each other.
struct Alike {
  std::size_t first = 0, last = 0;
  std::size_t count() const { return last - first; }
};

// ln of the chance that so many visits come to an end within `width_mm`, of all of `visits` (by depth) whose
// depth is up to 4 mm more. 0 for fewer than four.
double log_alike(const std::vector<Visit>& visits, Alike alike, double width_mm = alike_mm);

// What share they are of those and of the ones up to 4 mm nearer.
double share_alike(const std::vector<Visit>& visits, Alike alike);

// Did enough visits end, or begin, in full motion at that depth or up to 4 mm further off? A hand that only
// turns is no evidence. visits: of all kinds, by depth.
bool some_in_motion(const std::vector<Visit>& visits, double depth_mm);

}  // namespace paneproof
