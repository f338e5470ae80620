// Fisher's exact test against published tables, and what the map may and may not mark.
#include "analyzer/ledger/difference.hpp"

#include <catch2/catch.hpp>

using namespace paneproof;

TEST_CASE("Fisher's exact test gives the known values") {
  CHECK(fisher_exact(3, 4, 1, 4) ==
        Approx(0.4857142857).epsilon(1e-9));  // the tea-tasting table: 34/70, by hand
  CHECK(fisher_exact(1, 1, 0, 1) == Approx(1.0));
  CHECK(fisher_exact(5, 5, 0, 5) == Approx(2.0 / 252));  // two of the 252 splits are as unequal
  CHECK(fisher_exact(0, 0, 3, 4) == 1.0);
}

namespace {

// A grid of 3 x 3 cells: 9 cells, 1 block, 3 columns, 3 rows.
CellPassages grid(int cell_n, int cell_k, int group_n, int group_k) {
  CellPassages all{3, 3, std::vector<int>(16, 0), std::vector<int>(16, 0)};
  for (std::size_t i = 0; i < 9; ++i) all.passages[i] = cell_n, all.lost[i] = i % 3 == 1 ? cell_k : 0;
  all.passages[9] = group_n, all.lost[9] = group_k;
  for (std::size_t c = 0; c < 3; ++c) all.passages[10 + c] = group_n, all.lost[10 + c] = c == 1 ? group_k : 0;
  for (std::size_t r = 0; r < 3; ++r) all.passages[13 + r] = cell_n;
  return all;
}

}  // namespace

TEST_CASE("a place swept once in each is never marked") {
  for (const Change change : difference(grid(1, 0, 1, 0), grid(1, 1, 1, 1))) CHECK(change == Change::none);
}

TEST_CASE("a column that always loses where it never did is marked, its neighbours are not") {
  const auto changes = difference(grid(2, 0, 30, 0), grid(2, 2, 30, 30));
  for (std::size_t i = 0; i < 9; ++i) CHECK(changes[i] == (i % 3 == 1 ? Change::worse : Change::none));
}

TEST_CASE("what was not swept in both is said to be untested") {
  for (const Change change : difference(grid(0, 0, 0, 0), grid(4, 0, 9, 0)))
    CHECK(change == Change::untested);
}
