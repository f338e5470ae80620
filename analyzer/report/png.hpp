// Painter: a picture as a PNG with a palette.
//
// Drawn by Cairo in strips that one small surface serves again and again (fresh memory costs more
// than the drawing), and written by libpng: 256 colours, weakest compression, no filter. That is a
// tenth of what a general picture writer takes.
#pragma once

#include <string>

#include "analyzer/report/picture.hpp"

namespace paneproof {

// The bytes of a PNG file, width x height pixels. Same picture, fonts and libraries: same bytes.
// Throws std::runtime_error when memory or the drawing library fails; never for what the picture holds.
std::string paint_png(const Picture& picture);

}  // namespace paneproof
