// What may have made a silence, by what sound panels and common hands do.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "analyzer/measure/silence.hpp"

namespace paneproof {

// reach: a hand in the air that comes down ahead of its own motion; most come down behind it.
enum class MadeBy : std::uint8_t { nobody, reach, hand, host };
inline constexpr std::size_t makers = 4;

MadeBy made_by(const Silence& s);

inline bool in_the_air(const Silence& s) { return made_by(s) == MadeBy::hand || made_by(s) == MadeBy::reach; }

// Silences over one place, by index into `all`: made by a hand that lifts over it? On the glass a finger
// keeps its pace, so gaps over one fault agree in how far they exceed the finger's way, and wide ones do
// exceed it (crossings.hpp); a hand comes down when it likes. Wide gaps along rows and along columns are no
// hand's. Silences that no hand makes settle it. Also true where gaps are wider than three dead lines make
// them.
bool hand_made(const std::vector<Silence>& all, const std::vector<std::uint32_t>& group);

// Silences over one column (or row): do they end as a hand aims? A dead line ends ways within a fraction of a
// millimetre, and a step of the finger, on either side of it; hands that lift over a strip aim less well.
bool aimed(const std::vector<Silence>& all, const std::vector<std::uint32_t>& group, bool column);

}  // namespace paneproof
