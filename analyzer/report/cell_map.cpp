#include "analyzer/report/cell_map.hpp"

#include <algorithm>

namespace paneproof {
namespace {

MapMark mark_of(CellState state) {
  switch (state) {
    case CellState::proven:
      return MapMark::proven;
    case CellState::silent:
      return MapMark::silent;
    case CellState::intermittent:
      return MapMark::intermittent;
    case CellState::unswept:
      break;
  }
  return MapMark::unswept;
}

int worry(MapMark mark) {
  switch (mark) {
    case MapMark::masked:
      return 0;
    case MapMark::proven:
      return 1;
    case MapMark::unswept:
      return 2;
    case MapMark::intermittent:
      return 3;
    case MapMark::silent:
      break;
  }
  return 4;
}

MapMark merged(const Grid& grid, int left, int top, int side) {
  MapMark worst = MapMark::masked;
  for (int row = top; row < std::min(top + side, grid.rows); ++row) {
    for (int column = left; column < std::min(left + side, grid.columns); ++column) {
      const std::size_t index = static_cast<std::size_t>(row) * grid.columns + column;
      if (index < grid.masked.size() && grid.masked[index] != 0) continue;
      const MapMark mark = mark_of(grid.at(column, row));
      if (worry(mark) > worry(worst)) worst = mark;
    }
  }
  return worst;
}

int parts(int whole, int side) { return (whole + side - 1) / side; }

}  // namespace

CellMap cell_map(const Grid& grid, int most_columns, int most_rows) {
  CellMap map;
  map.cells_a_mark =
      std::max({1, parts(grid.columns, std::max(1, most_columns)), parts(grid.rows, std::max(1, most_rows))});
  for (int top = 0; top < grid.rows; top += map.cells_a_mark) {
    auto& row = map.rows.emplace_back();
    for (int left = 0; left < grid.columns; left += map.cells_a_mark)
      row.push_back(merged(grid, left, top, map.cells_a_mark));
  }
  return map;
}

}  // namespace paneproof
