// Which voids are told dead, and whether other weights of the same signs would tell more.
#pragma once

#include <vector>

#include "tests/truth/void_study.hpp"

namespace paneproof {

void print_voids(const std::vector<StudiedVoid>& voids);

}  // namespace paneproof
