// Draws a picture with Cairo, strip by strip.
#pragma once

#include <cairo.h>

#include <memory>
#include <vector>

#include "analyzer/report/picture.hpp"

namespace paneproof {

struct CairoDeleter {
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};

// A strip of the page as opaque pixels 0x..RRGGBB in the machine's byte order.
class CairoStrip {
 public:
  // `picture` must outlive the strip. Throws std::runtime_error without memory.
  CairoStrip(const Picture& picture, int height);

  // Draws the page from `top` on; shapes that do not reach into the strip cost nothing.
  void draw(int top);
  const std::uint32_t* row(int y) const;
  int width() const { return width_; }
  int height() const { return height_; }

 private:
  void draw(const Shape& shape, const Rectangle& form);
  void draw(const Shape& shape, const Disc& form);
  void draw(const Shape& shape, const Polyline& form);
  void draw(const Shape& shape, const Segments& form);
  void draw(const Shape& shape, const Lettering& form);
  void ink(const Colour& colour);
  void finish(const Shape& shape);

  struct Extent {
    double top, bottom;
  };
  static Extent extent_of(const Shape& shape);

  const Picture& picture_;
  int width_, height_, top_ = 0;
  std::vector<Extent> extents_;  // beside picture_.shapes
  std::unique_ptr<cairo_surface_t, CairoDeleter> surface_;
  std::unique_ptr<cairo_t, CairoDeleter> cairo_;
};

}  // namespace paneproof
