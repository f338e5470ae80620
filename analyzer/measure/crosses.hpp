// Crosses: a region in which a column and a row of electrodes are dead.
//
// Where they cross they are one region, whose box says nothing of either. A band of columns that is dead
// along most of the box's height, and one of rows along most of its width, both no wider than lines are, are
// told apart.
#pragma once

#include <optional>

#include "analyzer/measure/raster.hpp"
#include "analyzer/measure/regions.hpp"
#include "analyzer/measure/zone_kind.hpp"

namespace paneproof {

struct Cross {
  Box column, row;
};

// nullopt where the region is no cross. label: of the region.
std::optional<Cross> cross_of(const Regions& regions, std::int32_t label, const Raster& raster);

}  // namespace paneproof
