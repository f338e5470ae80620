#include "analyzer/report/cairo_page.hpp"

#include <cairo-ft.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

#include "analyzer/report/lettering.hpp"
#include "analyzer/report/round_box.hpp"

namespace paneproof {
namespace {

// A face of DejaVu Sans. Opened by its file when Debian's fonts-dejavu-core put it there: asking
// fontconfig for it costs 7 to 10 ms more. It lives as long as the program.
cairo_font_face_t* open_face(const char* file, cairo_font_weight_t weight) {
  static FT_Library library = [] {
    FT_Library opened = nullptr;
    return FT_Init_FreeType(&opened) == 0 ? opened : nullptr;
  }();
  FT_Face face = nullptr;
  if (library && FT_New_Face(library, file, 0, &face) == 0)
    return cairo_ft_font_face_create_for_ft_face(face, 0);
  return cairo_toy_font_face_create("DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, weight);
}

cairo_font_face_t* face_of(bool bold) {
  static cairo_font_face_t* const book =
      open_face("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf", CAIRO_FONT_WEIGHT_NORMAL);
  static cairo_font_face_t* const heavy =
      open_face("/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf", CAIRO_FONT_WEIGHT_BOLD);
  return bold ? heavy : book;
}

// The user's own font settings must not change the picture.
void fix_font_options(cairo_t* cairo) {
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_SLIGHT);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_set_font_options(cairo, options);
  cairo_font_options_destroy(options);
}

}  // namespace

CairoStrip::CairoStrip(const Picture& picture, int height)
    : picture_(picture),
      width_(static_cast<int>(picture.width)),
      height_(height),
      surface_(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width_, height_)),
      cairo_(cairo_create(surface_.get())) {
  if (cairo_status(cairo_.get()) != CAIRO_STATUS_SUCCESS)
    throw std::runtime_error(std::string("drawing: ") + cairo_status_to_string(cairo_status(cairo_.get())));
  fix_font_options(cairo_.get());
  cairo_set_line_cap(cairo_.get(), CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join(cairo_.get(), CAIRO_LINE_JOIN_ROUND);
  extents_.reserve(picture.shapes.size());
  for (const Shape& shape : picture.shapes) extents_.push_back(extent_of(shape));
}

CairoStrip::Extent CairoStrip::extent_of(const Shape& shape) {
  Extent extent{std::numeric_limits<double>::max(), std::numeric_limits<double>::lowest()};
  const auto reach = [&](double top, double bottom) {
    extent.top = std::min(extent.top, top);
    extent.bottom = std::max(extent.bottom, bottom);
  };
  if (const auto* box = std::get_if<Rectangle>(&shape.form)) reach(box->y, box->y + box->height);
  if (const auto* disc = std::get_if<Disc>(&shape.form))
    reach(disc->y - disc->radius, disc->y + disc->radius);
  if (const auto* text = std::get_if<Lettering>(&shape.form))
    reach(text->y - 1.2 * text->size, text->y + 0.5 * text->size);
  if (const auto* line = std::get_if<Polyline>(&shape.form))
    for (const Spot& spot : line->spots) reach(spot.y, spot.y);
  if (const auto* lines = std::get_if<Segments>(&shape.form))
    for (const auto& [from, to] : lines->lines) reach(std::min(from.y, to.y), std::max(from.y, to.y));
  const double room = 1 + (shape.pen ? shape.pen->width : 0);
  return {extent.top - room, extent.bottom + room};
}

void CairoStrip::draw(int top) {
  top_ = top;
  cairo_identity_matrix(cairo_.get());
  ink({255, 255, 255});
  cairo_paint(cairo_.get());
  cairo_translate(cairo_.get(), 0, -top);
  for (std::size_t i = 0; i < picture_.shapes.size(); ++i) {
    if (extents_[i].bottom < top || extents_[i].top > top + height_) continue;
    const Shape& shape = picture_.shapes[i];
    std::visit([&](const auto& form) { draw(shape, form); }, shape.form);
  }
  cairo_surface_flush(surface_.get());
  if (cairo_status(cairo_.get()) != CAIRO_STATUS_SUCCESS)
    throw std::runtime_error(std::string("drawing: ") + cairo_status_to_string(cairo_status(cairo_.get())));
}

const std::uint32_t* CairoStrip::row(int y) const {
  const unsigned char* bytes = cairo_image_surface_get_data(surface_.get());
  const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(surface_.get()));
  return reinterpret_cast<const std::uint32_t*>(bytes + static_cast<std::size_t>(y) * stride);
}

void CairoStrip::ink(const Colour& colour) {
  cairo_set_source_rgb(cairo_.get(), colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0);
}

// Fills and strokes the path that was just laid.
void CairoStrip::finish(const Shape& shape) {
  cairo_t* cairo = cairo_.get();
  if (shape.fill) {
    ink(*shape.fill);
    cairo_fill_preserve(cairo);
  }
  if (shape.pen) {
    ink(shape.pen->colour);
    cairo_set_line_width(cairo, shape.pen->width);
    const double dashes[] = {shape.pen->dash, shape.pen->gap};
    cairo_set_dash(cairo, dashes, shape.pen->dash > 0 ? 2 : 0, 0);
    cairo_stroke_preserve(cairo);
  }
  cairo_new_path(cairo);
}

// Cells have no pen: their edges go to whole pixels, so that neighbours meet without a seam.
void CairoStrip::draw(const Shape& shape, const Rectangle& form) {
  cairo_t* cairo = cairo_.get();
  if (round_radius(form) > 0) {
    round_box(cairo, form);
  } else if (shape.pen) {
    cairo_rectangle(cairo, form.x, form.y, form.width, form.height);
  } else {
    const double left = std::round(form.x), upper = std::round(form.y);
    cairo_rectangle(cairo, left, upper, std::round(form.x + form.width) - left,
                    std::round(form.y + form.height) - upper);
  }
  finish(shape);
}

void CairoStrip::draw(const Shape& shape, const Disc& form) {
  cairo_new_sub_path(cairo_.get());
  cairo_arc(cairo_.get(), form.x, form.y, form.radius, 0, 2 * std::numbers::pi);
  finish(shape);
}

// A long line is stroked in parts: Cairo's work grows faster than the number of crossings. Parts
// outside the strip are left out.
void CairoStrip::draw(const Shape& shape, const Polyline& form) {
  constexpr std::size_t part = 64;
  cairo_t* cairo = cairo_.get();
  const std::size_t count = form.spots.size();
  const bool whole = form.closed || shape.fill || (shape.pen && shape.pen->dash > 0);
  const std::size_t step = whole ? std::max<std::size_t>(count, 1) : part;
  for (std::size_t first = 0; first + 1 < count; first += step) {
    const std::size_t last = std::min(first + step, count - 1);
    double upper = std::numeric_limits<double>::max(), lower = std::numeric_limits<double>::lowest();
    for (std::size_t i = first; i <= last; ++i) {
      upper = std::min(upper, form.spots[i].y);
      lower = std::max(lower, form.spots[i].y);
    }
    const double room = shape.pen ? shape.pen->width : 0;
    if (lower + room < top_ || upper - room > top_ + height_) continue;
    for (std::size_t i = first; i <= last; ++i) cairo_line_to(cairo, form.spots[i].x, form.spots[i].y);
    if (form.closed) cairo_close_path(cairo);
    finish(shape);
  }
}

// In parts as well.
void CairoStrip::draw(const Shape& shape, const Segments& form) {
  constexpr int part = 32;
  int laid = 0;
  for (const auto& [from, to] : form.lines) {
    if (std::max(from.y, to.y) + 2 < top_ || std::min(from.y, to.y) - 2 > top_ + height_) continue;
    cairo_move_to(cairo_.get(), from.x, from.y);
    cairo_line_to(cairo_.get(), to.x, to.y);
    if (++laid % part == 0) finish(shape);
  }
  finish(shape);
}

void CairoStrip::draw(const Shape& shape, const Lettering& form) {
  cairo_t* cairo = cairo_.get();
  const double width = lettering_width(form.characters, form.size, form.bold);
  const double shift = form.anchor == Anchor::start ? 0 : form.anchor == Anchor::middle ? width / 2 : width;
  cairo_set_font_face(cairo, face_of(form.bold));
  cairo_set_font_size(cairo, form.size);
  cairo_move_to(cairo, form.x - shift, form.y);
  if (shape.fill) ink(*shape.fill);
  cairo_show_text(cairo, form.characters.c_str());
  cairo_new_path(cairo);
}

}  // namespace paneproof
