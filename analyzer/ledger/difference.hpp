// Where two sweeps of one panel differ by more than chance.
//
// A panel is swept once or twice at a place, so places are asked in groups that are fixed beforehand: each
// cell, each block of 3 x 3 cells, each column and each row. For a group: on how many passages of a finger
// over it was contact lost (k of n) in the first sweep and in the second; a passage counts once however
// many of its cells it crosses. Fisher's exact test, two-sided, says how likely so unequal a split is if
// nothing changed; Benjamini and Hochberg's procedure over all groups keeps the share of false marks at
// 5 %. A place that was swept once in each says nothing alone: n = 1 and 1, lost against reported, has
// p = 1. A marked group marks those of its cells where the share of losses differs.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/evidence/judged.hpp"

namespace paneproof {

// p of a 2 x 2 table: k1 of n1 against k2 of n2. 1 when either n is 0.
double fisher_exact(int k1, int n1, int k2, int n2);

struct CellPassages {
  int columns = 0, rows = 0;
  std::vector<int> passages, lost;  // a group each: rows x columns cells, then blocks, columns, rows
};
// Passages are runs of one finger's joined reports through the cell, and losses whose way crosses it.
CellPassages cell_passages(const Trace& trace, const Findings& findings);

enum class Change : std::uint8_t { untested, none, worse, better };
// Per cell of the first's grid; untested where either sweep has no passage. Both of one size and grid.
std::vector<Change> difference(const CellPassages& before, const CellPassages& after);

}  // namespace paneproof
