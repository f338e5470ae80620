// The grid as a small map of plain characters, for a terminal.
#pragma once

#include <string>
#include <vector>

#include "analyzer/measure/findings.hpp"

namespace paneproof {

// One mark of the map: what its cells are together. masked only when all of them are; else the state
// to worry about most: silent, then intermittent, then unswept, then proven.
enum class MapMark : char { proven = '.', silent = '#', intermittent = '%', unswept = '?', masked = ' ' };

struct CellMap {
  std::vector<std::vector<MapMark>> rows;  // top first
  int cells_a_mark = 1;                    // a mark stands for so many cells in each direction
};

// At most so many marks wide and high; cells are merged evenly in both directions to fit.
// A grid without cells gives no rows.
CellMap cell_map(const Grid& grid, int most_columns, int most_rows);

}  // namespace paneproof
