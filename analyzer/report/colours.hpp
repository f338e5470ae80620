// The colours of the heatmap.
//
// How far a place is proven is shown on a map of our own: a straight line in CIELAB (CIE 15), from
// L 88 a -7 b -8 (proven) through its middle (intermittent) to L 22 a 9 b -30 (silent), written in
// sRGB. Equal steps on such a line are equal differences by definition, lightness falls all the way
// and its hue lies on the blue-yellow axis, so colour-blind readers and grey printers keep the order.
// Unswept is off the map, a warm paper: nothing is known there. Marks differ in form as well.
#pragma once

#include "analyzer/measure/findings.hpp"
#include "analyzer/report/picture.hpp"
#include "analyzer/verdict/verdict.hpp"

namespace paneproof::colours {

inline constexpr Colour page{255, 255, 255};
inline constexpr Colour ink{24, 32, 43};
inline constexpr Colour quiet_ink{92, 103, 117};
inline constexpr Colour rule{205, 212, 220};

inline constexpr Colour proven{198, 225, 236};
inline constexpr Colour intermittent{114, 133, 164};
inline constexpr Colour silent{31, 51, 97};
inline constexpr Colour unswept{252, 243, 218};
inline constexpr Colour masked{226, 228, 231};
inline constexpr Colour silent_mark{240, 245, 250};
inline constexpr Colour intermittent_mark{231, 238, 247};
inline constexpr Colour unswept_mark{158, 128, 70};
inline constexpr Colour masked_mark{176, 181, 188};

inline constexpr Colour path{83, 135, 160};
inline constexpr Colour fault{200, 62, 8};
inline constexpr Colour ask{150, 32, 118};

inline constexpr Colour pass{0, 98, 94};
inline constexpr Colour fail{166, 34, 22};
inline constexpr Colour resweep{112, 82, 0};

constexpr Colour of(CellState state) {
  switch (state) {
    case CellState::proven:
      return proven;
    case CellState::silent:
      return silent;
    case CellState::intermittent:
      return intermittent;
    case CellState::unswept:
      break;
  }
  return unswept;
}

constexpr Colour of(Outcome outcome) {
  switch (outcome) {
    case Outcome::pass:
      return pass;
    case Outcome::fail:
      return fail;
    case Outcome::resweep:
      break;
  }
  return resweep;
}

}  // namespace paneproof::colours
