// Painter: a picture (report/picture.hpp) as vectors on any Cairo page, its lettering set by Pango.
#pragma once

#include <cairo.h>

#include "analyzer/report/picture.hpp"

namespace paneproof {

// At the current origin; page units become `unit` of the page's own.
void paint_on(cairo_t* cairo, const Picture& picture, double unit);

}  // namespace paneproof
