// Voids of rehearsed panels, of which it is known whether they are dead: what the analysis makes of each.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "analyzer/measure/void_evidence.hpp"

namespace paneproof {

struct StudiedVoid {
  std::uint64_t seed = 0;
  bool is_dead =
      false;  // a dead place holds 30 % of it or more; false: of a sound panel. Others are left out
  bool told_dead = false;
  int crossings = 0;
  std::array<double, void_signs> signs{};
};

// Voids with a crossing or arrivals beside them, of `cases` rehearsals of a mix.
std::vector<StudiedVoid> study_voids(const std::string& mix, std::uint64_t seed, int cases, unsigned threads);

}  // namespace paneproof
