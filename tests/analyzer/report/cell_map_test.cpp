#include "analyzer/report/cell_map.hpp"

#include <catch2/catch.hpp>
#include <random>

using namespace paneproof;

namespace {

Grid random_grid(std::mt19937_64& random) {
  Grid grid;
  grid.cell_mm = 5;
  grid.columns = 1 + static_cast<int>(random() % 150);
  grid.rows = 1 + static_cast<int>(random() % 150);
  const std::size_t count = static_cast<std::size_t>(grid.columns) * grid.rows;
  for (std::size_t i = 0; i < count; ++i) {
    grid.cells.push_back(random() % 40 ? CellState::proven : static_cast<CellState>(random() % 4));
    grid.masked.push_back(random() % 10 == 0);
  }
  return grid;
}

}  // namespace

TEST_CASE("a map never grows past the columns and rows that it is given") {
  const unsigned seed = 7;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 100; ++i) {
    const CellMap map = cell_map(random_grid(random), 38, 24);
    CHECK(map.rows.size() <= 24);
    CHECK(map.rows.front().size() <= 38);
  }
}

TEST_CASE("no silent cell is lost when cells are merged") {
  const unsigned seed = 8;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 100; ++i) {
    const Grid grid = random_grid(random);
    const CellMap map = cell_map(grid, 38, 24);
    for (int row = 0; row < grid.rows; ++row)
      for (int column = 0; column < grid.columns; ++column) {
        const bool masked = grid.masked[static_cast<std::size_t>(row) * grid.columns + column];
        if (masked || grid.at(column, row) != CellState::silent) continue;
        REQUIRE(map.rows[row / map.cells_a_mark][column / map.cells_a_mark] == MapMark::silent);
      }
  }
}

TEST_CASE("a mark is blank only when all of its cells are masked") {
  Grid grid{2, 2, 5, std::vector<CellState>(4, CellState::unswept), {1, 1, 1, 0}};
  CHECK(cell_map(grid, 1, 1).rows[0][0] == MapMark::unswept);
  grid.masked[3] = 1;
  CHECK(cell_map(grid, 1, 1).rows[0][0] == MapMark::masked);
}
