// Text on a page, by Pango: any script that a font here has letters for. Sizes in page units.
#pragma once

#include <cairo.h>

#include <set>
#include <string>

#include "analyzer/report/picture.hpp"

namespace paneproof {

struct Face {
  double size = 9.5;
  bool bold = false;
  double wrap = 0;  // lines no wider than this; 0: one line
};

class Layout {
 public:
  // `characters` is valid UTF-8.
  Layout(cairo_t* cairo, const std::string& characters, const Face& face);
  ~Layout();
  Layout(const Layout&) = delete;
  Layout& operator=(const Layout&) = delete;

  double width() const;
  double height() const;
  double baseline() const;
  void show(double left, double top, const Colour& colour) const;
  // "DejaVu Sans 2.37": the fonts whose letters it uses.
  void add_fonts(std::set<std::string>& names) const;

 private:
  cairo_t* cairo_;
  void* layout_;
};

}  // namespace paneproof
