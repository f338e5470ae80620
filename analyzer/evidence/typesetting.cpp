#include "analyzer/evidence/typesetting.hpp"

#include <pango/pangocairo.h>
#include <pango/pangofc-font.h>

namespace paneproof {
namespace {

PangoLayout* pango(void* layout) { return static_cast<PangoLayout*>(layout); }

// One context a page: the user's language and font settings must not change the page.
PangoLayout* new_layout(cairo_t* cairo) {
  PangoLayout* layout = pango_cairo_create_layout(cairo);
  PangoContext* context = pango_layout_get_context(layout);
  pango_context_set_language(context, pango_language_from_string("en"));
  pango_context_set_base_dir(context, PANGO_DIRECTION_LTR);
  pango_context_set_round_glyph_positions(context, FALSE);
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context, options);
  cairo_font_options_destroy(options);
  pango_layout_context_changed(layout);
  return layout;
}

PangoRectangle extent(void* layout) {
  PangoRectangle logical;
  pango_layout_get_extents(pango(layout), nullptr, &logical);
  return logical;
}

}  // namespace

Layout::Layout(cairo_t* cairo, const std::string& characters, const Face& face)
    : cairo_(cairo), layout_(new_layout(cairo)) {
  PangoFontDescription* description = pango_font_description_new();
  pango_font_description_set_family_static(description, "DejaVu Sans");
  pango_font_description_set_weight(description, face.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(description, face.size * PANGO_SCALE);
  pango_layout_set_font_description(pango(layout_), description);
  pango_font_description_free(description);
  if (face.wrap > 0) {
    pango_layout_set_width(pango(layout_), static_cast<int>(face.wrap * PANGO_SCALE));
    pango_layout_set_wrap(pango(layout_), PANGO_WRAP_WORD_CHAR);
  }
  pango_layout_set_auto_dir(pango(layout_), FALSE);
  pango_layout_set_text(pango(layout_), characters.data(), static_cast<int>(characters.size()));
}

Layout::~Layout() { g_object_unref(pango(layout_)); }

double Layout::width() const { return static_cast<double>(extent(layout_).width) / PANGO_SCALE; }
double Layout::height() const { return static_cast<double>(extent(layout_).height) / PANGO_SCALE; }
double Layout::baseline() const {
  return static_cast<double>(pango_layout_get_baseline(pango(layout_))) / PANGO_SCALE;
}

void Layout::show(double left, double top, const Colour& colour) const {
  cairo_set_source_rgb(cairo_, colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0);
  cairo_move_to(cairo_, left, top);
  pango_cairo_show_layout(cairo_, pango(layout_));
}

void Layout::add_fonts(std::set<std::string>& names) const {
  PangoLayoutIter* at = pango_layout_get_iter(pango(layout_));
  do {
    const PangoLayoutRun* run = pango_layout_iter_get_run_readonly(at);
    if (!run || !PANGO_IS_FC_FONT(run->item->analysis.font)) continue;
    FcPattern* pattern = pango_fc_font_get_pattern(PANGO_FC_FONT(run->item->analysis.font));
    FcChar8* family = nullptr;
    int version = 0;
    FcPatternGetString(pattern, FC_FAMILY, 0, &family);
    FcPatternGetInteger(pattern, FC_FONTVERSION, 0, &version);
    names.insert(std::string(family ? reinterpret_cast<const char*>(family) : "unnamed") + " " +
                 std::to_string(version));
  } while (pango_layout_iter_next_run(at));
  pango_layout_iter_free(at);
}

}  // namespace paneproof
