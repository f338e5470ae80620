// What speaks for a void being dead rather than not swept, and when it is enough (voids.hpp says what each
// is).
//
// Crossings alone are no fault: a hand may lift over the same place again and again. Enough are
//   faults    silences over it that repeat (repeats.hpp), three or more
//   alive     crossings within one contact, three, or two of four crossings: the finger was there. A host
//   that
//             stalls, or a contact held through a quick re-grip, makes one; not so many where nothing was
//             reported
//   barriers  contacts that come to an end within the same millimetre. From side to side of the panel both
//   ends of
//             its crossings must lie straight: a hand that leaves out a strip aims worse at one side of it
//   shifts    two crossings and bends of 0.8 mm, one crossing and three bends of 1.5 mm, or two crossings and
//   bends
//             and veers that together stand clear of zero for what they scatter
// The numbers part rehearsed hands from rehearsed faults (docs/accuracy.md); no source.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"

namespace paneproof {

struct Block {
  double left_mm = 0, right_mm = 0, top_mm = 0, bottom_mm = 0;
};

// Their mean, and the sum of squares about it.
struct Shifts {
  int count = 0;
  double mean_mm = 0, squares_mm2 = 0;
  void add(double mm);
  double over_error() const;  // the mean over its standard error; 0 for none
};

struct Void {
  std::vector<Point> ends;    // where fingers vanished beside it and where they came back, in turn
  std::vector<Block> beyond;  // what lies beyond its barriers, between neighbouring places
  int crossings = 0;          // contacts that ended beside it and came back beyond it, and leaps over it
  int alive = 0;              // of them those within one contact: leaps and holes, 0.2 s apart or more
  double alive_s = 0;         // end of the last of these, and its sweep
  std::uint32_t alive_sweep = 0;
  int bends = 0;       // passages beside it with a straight or evenly curved way before and after
  double bend_mm = 0;  // their mean shift away from the void, relative to that way
  Shifts shifts;       // away from the void: of those passages, and of contacts that end or begin beside it
  double barriers_log_chance = 0;  // barriers about it: ln of the chance that hands alone do this
  bool dead = false;
};

// faults: silences over the void that are a fault's. strip: which way it runs from side to side, if it does.
bool dead(const Void& v, int faults, Along strip);

}  // namespace paneproof
