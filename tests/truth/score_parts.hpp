// The parts of a score that need more than a few lines; definitions in score.hpp.
#pragma once

#include "tests/truth/score.hpp"

namespace paneproof {

void score_cells(const RehearsedCase& c, Score& score);
void score_dropouts(const RehearsedCase& c, Score& score);
void score_ghosts(const RehearsedCase& c, Score& score);
void score_zones(const RehearsedCase& c, Score& score);

}  // namespace paneproof
