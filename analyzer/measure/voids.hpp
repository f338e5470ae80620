// Voids: places that hold no report, and which of them are dead rather than not swept.
//
// A void is a connected part of the judged area further than d/2 from every report; no sweep with one can
// pass. A hand that did not go there leaves a neat hole behind. A dead place does not: fingers vanish on
// one side of it and come back on another within moments (crossings), and fingers that run past it are
// reported too far away from it, as only the electrodes on the living side see them (bends), as are those that end or
// begin at it (veers). Crossings and shifts together make it a fault. Crossings alone do not: a hand may lift over the same place again and again. Where contacts
// all come to an end within the same millimetre (barriers.hpp), no hand did it.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/regions.hpp"
#include "analyzer/measure/repeats.hpp"
#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/silence.hpp"

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
  std::vector<Point> ends;  // where fingers vanished beside it and where they came back, in turn
  std::vector<Block> beyond;  // what lies beyond its barriers, between neighbouring places
  int crossings = 0;        // contacts that ended beside it and came back beyond it, and leaps over it
  int alive = 0;            // of them those within one contact: leaps and holes, 0.2 s apart or more
  double alive_s = 0;       // end of the last of these, and its sweep
  std::uint32_t alive_sweep = 0;
  int bends = 0;            // passages beside it with a straight or evenly curved way before and after
  double bend_mm = 0;       // their mean shift away from the void, relative to that way
  Shifts shifts;            // away from the void: of those passages, and of contacts that end or begin beside it
  double barriers_log_chance = 0;  // barriers about it: ln of the chance that hands alone do this
  bool dead = false;
};

struct Voids {
  Regions regions;          // pixels of the field's raster
  std::vector<std::int32_t> empty;  // label per pixel that is near a void and not near a report; 0 elsewhere
  std::vector<Void> found;  // by label of the regions; [0] stands for "no void"
};

// counts: per contact, 0 for those that are no finger of the sweep. `judged`: per pixel of the field's raster.
Voids voids(const Trace& trace, const std::vector<std::uint8_t>& counts, const std::vector<Silence>& silences,
            const std::vector<Repeat>& repeats, const ReportField& field,
            const std::vector<std::uint8_t>& judged, double fingertip_mm);

// Silences whose way leads through a dead void are its fault.
void claim(const Voids& voids, const ReportField& field, const std::vector<Silence>& silences,
           std::vector<Repeat>& repeats);

}  // namespace paneproof
