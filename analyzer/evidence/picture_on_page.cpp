#include "analyzer/evidence/picture_on_page.hpp"

#include <algorithm>
#include <numbers>

#include "analyzer/evidence/typesetting.hpp"
#include "analyzer/report/round_box.hpp"

namespace paneproof {
namespace {

void ink(cairo_t* cairo, const Colour& colour) {
  cairo_set_source_rgb(cairo, colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0);
}

void lay(cairo_t* cairo, const Rectangle& form) {
  if (round_radius(form) <= 0) return cairo_rectangle(cairo, form.x, form.y, form.width, form.height);
  round_box(cairo, form);
}

void lay(cairo_t* cairo, const Disc& form) {
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, form.x, form.y, form.radius, 0, 2 * std::numbers::pi);
}

void lay(cairo_t* cairo, const Polyline& form) {
  for (const Spot& spot : form.spots) cairo_line_to(cairo, spot.x, spot.y);
  if (form.closed) cairo_close_path(cairo);
}

void lay(cairo_t* cairo, const Segments& form) {
  for (const auto& [from, to] : form.lines) {
    cairo_move_to(cairo, from.x, from.y);
    cairo_line_to(cairo, to.x, to.y);
  }
}

void finish(cairo_t* cairo, const Shape& shape) {
  if (shape.fill) {
    ink(cairo, *shape.fill);
    cairo_fill_preserve(cairo);
  }
  if (shape.pen) {
    ink(cairo, shape.pen->colour);
    cairo_set_line_width(cairo, shape.pen->width);
    const double dashes[] = {shape.pen->dash, shape.pen->gap};
    cairo_set_dash(cairo, dashes, shape.pen->dash > 0 ? 2 : 0, 0);
    cairo_stroke_preserve(cairo);
  }
  cairo_new_path(cairo);
}

void letter(cairo_t* cairo, const Lettering& form, const std::optional<Colour>& colour) {
  const Layout layout(cairo, form.characters, {.size = form.size, .bold = form.bold});
  const double x = form.anchor == Anchor::start    ? form.x
                   : form.anchor == Anchor::middle ? form.x - layout.width() / 2
                                                   : form.x - layout.width();
  layout.show(x, form.y - layout.baseline(), colour.value_or(Colour{}));
}

}  // namespace

void paint_on(cairo_t* cairo, const Picture& picture, double unit) {
  cairo_save(cairo);
  cairo_scale(cairo, unit, unit);
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
  for (const Shape& shape : picture.shapes) {
    if (const auto* lettering = std::get_if<Lettering>(&shape.form)) {
      letter(cairo, *lettering, shape.fill);
      continue;
    }
    cairo_new_path(cairo);  // lettering leaves a point behind
    std::visit(
        [&](const auto& form) {
          if constexpr (!std::is_same_v<std::decay_t<decltype(form)>, Lettering>) lay(cairo, form);
        },
        shape.form);
    finish(cairo, shape);
  }
  cairo_restore(cairo);
}

}  // namespace paneproof
