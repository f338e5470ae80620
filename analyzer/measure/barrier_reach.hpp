// What lies beyond a barrier: from where no report lies to where reports begin again.
#pragma once

#include <vector>

#include "analyzer/measure/barriers.hpp"

namespace paneproof {

struct Block {
  double left_mm = 0, right_mm = 0, top_mm = 0, bottom_mm = 0;
};

// Blocks between neighbouring places of the barrier, as deep as the shallower of the two, up to 24 mm (three
// dead lines and a fingertip). reach_mm: where no report lies must begin within so far of a place.
std::vector<Block> blocks_beyond(const Barrier& barrier, const ReportField& field, const Panel& panel,
                                 double reach_mm);

// Do reports begin again beyond most of its places, before the side?
bool lives_beyond(const Barrier& barrier, const ReportField& field, const Panel& panel, double reach_mm);

}  // namespace paneproof
