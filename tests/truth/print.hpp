// The figures as tables on standard output.
#pragma once

#include <map>
#include <vector>

#include "tests/truth/discs.hpp"
#include "tests/truth/score.hpp"
#include "tests/truth/sensitivity.hpp"

namespace paneproof {

void print_figures(const Score& score);
// Up to `most` seeds a kind, the worst first.
void print_failures(const Score& score, int most);
// changed: verdicts of `cases` that change, one for each of `moved`.
void print_sensitivity(const std::vector<MovedLimit>& moved, const std::vector<int>& changed, int cases);
void print_discs(const std::vector<DiscResult>& results);

}  // namespace paneproof
