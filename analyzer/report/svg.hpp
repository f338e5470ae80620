// Painter: a picture as an SVG file (SVG 1.1, text). Every shape carries its role as class.
#pragma once

#include <string>

#include "analyzer/report/picture.hpp"

namespace paneproof {

// Well-formed XML in UTF-8, numbers with two decimals at most; the same picture gives the same bytes.
std::string paint_svg(const Picture& picture);

}  // namespace paneproof
