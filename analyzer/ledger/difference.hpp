// Where two sweeps of one panel differ by more than chance.
//
// For each cell: on how many passages of a finger over it was contact lost (k of n) in the first sweep and
// in the second. Fisher's exact test, two-sided, says how likely so unequal a split is if nothing changed;
// Benjamini and Hochberg's procedure over all cells keeps the share of false marks at 5 %. A place that
// was swept once in each can never be marked: with n = 1 and 1 even lost against reported has p = 1.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/evidence/judged.hpp"

namespace paneproof {

// p of a 2 x 2 table: k1 of n1 against k2 of n2. 1 when either n is 0.
double fisher_exact(int k1, int n1, int k2, int n2);

struct CellPassages {
  int columns = 0, rows = 0;
  std::vector<int> passages, lost;  // rows x columns
};
// Passages are runs of one finger's joined reports through the cell, and losses whose way crosses it.
CellPassages cell_passages(const Trace& trace, const Findings& findings);

enum class Change : std::uint8_t { untested, none, worse, better };
// Per cell of the first's grid; untested where either sweep has no passage. Both of one size and grid.
std::vector<Change> difference(const CellPassages& before, const CellPassages& after);

}  // namespace paneproof
