#include "analyzer/evidence/sheet.hpp"

#include <cairo-pdf.h>
#include <pango/pango-utils.h>
#include <zlib.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "analyzer/evidence/picture_on_page.hpp"
#include "analyzer/evidence/sheet_words.hpp"
#include "analyzer/evidence/typesetting.hpp"
#include "analyzer/report/cells.hpp"
#include "analyzer/report/colours.hpp"
#include "analyzer/report/panel_picture.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

// In points.
constexpr double margin = 44, gap = 4, foot = 30;
constexpr double picture_unit = 0.78;  // points a unit of the panel's picture
constexpr double largest_scale = 6;    // of its units a mm

struct Paper {
  double width, height;
};
Paper paper_of(const std::string& name) {
  return name == "letter" ? Paper{612, 792} : Paper{595.276, 841.89};
}

cairo_status_t append(void* into, const unsigned char* bytes, unsigned length) {
  static_cast<std::string*>(into)->append(reinterpret_cast<const char*>(bytes), length);
  return CAIRO_STATUS_SUCCESS;
}

class Writer {
 public:
  Writer(const CheckResult& result, const Statement& statement, int pages)
      : result_(result),
        statement_(statement),
        pages_(pages),
        paper_(paper_of(statement.paper)),
        surface_(cairo_pdf_surface_create_for_stream(append, &sheet_.pdf, paper_.width, paper_.height),
                 cairo_surface_destroy),
        cairo_(cairo_create(surface_.get()), cairo_destroy) {
    cairo_pdf_surface_restrict_to_version(surface_.get(), CAIRO_PDF_VERSION_1_5);
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATE_DATE,
                                   "2000-01-01T00:00:00Z");  // written anew later
  }

  // Gives how many pages it took, whatever number was told.
  int write() {
    sheet_.title = "Touch panel evidence, job " + presentable(statement_.job) + ", " + statement_.stage +
                   ": " + word(result_.verdict.outcome);
    sheet_.subject = "Drag sweep of a touch panel, with its log, result and signed statement attached";
    begin("Document");
    head();
    const std::vector<SheetBlock> blocks = sheet_blocks(result_, statement_);
    for (std::size_t next = panel(blocks); next < blocks.size(); ++next) write(blocks[next]);
    end("Document");
    footer();
    cairo_show_page(cairo_.get());
    cairo_.reset();
    cairo_surface_finish(surface_.get());
    if (cairo_surface_status(surface_.get()) != CAIRO_STATUS_SUCCESS) throw std::bad_alloc();
    fonts_.insert({std::string("cairo ") + cairo_version_string(),
                   std::string("pango ") + pango_version_string(), std::string("zlib ") + zlibVersion()});
    sheet_.drawn_with.assign(fonts_.begin(), fonts_.end());
    return page_;
  }
  Sheet sheet() && { return std::move(sheet_); }

 private:
  // What text is set in: the page, or the column beside the map.
  struct Column {
    double left, width, label;
  };
  double width() const { return paper_.width - 2 * margin; }
  Column page() const { return {margin, width(), 104}; }
  void begin(const char* tag) { cairo_tag_begin(cairo_.get(), tag, nullptr); }
  void end(const char* tag) { cairo_tag_end(cairo_.get(), tag); }

  void footer() {
    const std::string words =
        "paneproof " + statement_.version + "   job " + presentable(statement_.job) + "   " +
        statement_.stage + "   page " + std::to_string(page_) + " of " + std::to_string(pages_) +
        (result_.verdict.outcome == Outcome::pass ? "" : "   " + shouted(result_.verdict.outcome));
    const Layout line(cairo_.get(), words, {.size = 7.5});
    line.add_fonts(fonts_);
    line.show(margin, paper_.height - foot, colours::quiet_ink);
  }

  void make_room(double height) {
    if (y_ + height <= paper_.height - foot - 12) return;
    footer();
    cairo_show_page(cairo_.get());
    ++page_;
    y_ = margin;
  }

  // Sets text at x and gives its height; the caller made room.
  double set(double x, double top, const std::string& words, const Face& face, const Colour& colour,
             const char* tag) {
    const Layout layout(cairo_.get(), words, face);
    layout.add_fonts(fonts_);
    begin(tag);
    layout.show(x, top, colour);
    end(tag);
    return layout.height();
  }
  double height_of(const std::string& words, const Face& face) {
    return Layout(cairo_.get(), words, face).height();
  }

  void bookmark(const std::string& words) {
    const std::string place =
        "page=" + std::to_string(page_) + " pos=[" + fixed(margin, 0) + " " + fixed(y_, 0) + "]";
    cairo_pdf_surface_add_outline(surface_.get(), CAIRO_PDF_OUTLINE_ROOT, words.c_str(), place.c_str(),
                                  CAIRO_PDF_OUTLINE_FLAG_OPEN);
  }

  Face label_face(const Column& in) const { return {.size = 9, .wrap = in.label - 6}; }
  Face value_face(const Column& in) const { return {.size = 9, .wrap = in.width - in.label}; }
  Face line_face(const Column& in) const { return {.size = 9, .wrap = in.width - 14}; }

  void fact(const Column& in, const std::string& label, const std::string& value) {
    make_room(height_of(value, value_face(in)));
    const double tall = set(in.left, y_, label, label_face(in), colours::quiet_ink, "P");
    y_ += std::max(tall, set(in.left + in.label, y_, value, value_face(in), colours::ink, "P")) + 2;
  }

  // As write() would set it.
  double height_of(const SheetBlock& block, const Column& in) {
    double height = 8 + height_of(block.heading, heading_face) + 3;
    for (const auto& [label, value] : block.facts)
      height += std::max(height_of(label, label_face(in)), height_of(value, value_face(in))) + 2;
    for (const std::string& words : block.lines) height += height_of(words, line_face(in)) + 2;
    return height;
  }

  void head() {
    bookmark("Verdict");
    constexpr double badge_width = 176, badge_height = 46;
    cairo_t* cairo = cairo_.get();
    const Colour colour = colours::of(result_.verdict.outcome);
    cairo_set_source_rgb(cairo, colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0);
    cairo_rectangle(cairo, margin, y_, badge_width, badge_height);
    cairo_fill(cairo);
    const Face shout{.size = 26, .bold = true};
    const Layout verdict(cairo, shouted(result_.verdict.outcome), shout);
    verdict.add_fonts(fonts_);
    begin("H1");
    verdict.show(margin + (badge_width - verdict.width()) / 2, y_ + (badge_height - verdict.height()) / 2,
                 colours::page);
    const Face title{.size = 15, .bold = true, .wrap = width() - badge_width - 16};
    const Layout words(cairo, "Touch panel " + panel_size(result_.findings), title);
    words.show(margin + badge_width + 16, y_ + 4, colours::ink);
    end("H1");
    set(margin + badge_width + 16, y_ + 26, "Evidence of a drag sweep", {.size = 9}, colours::quiet_ink, "P");
    y_ += badge_height + 12;
    for (const Reason& reason : result_.verdict.reasons)
      line(page(), "\u2022", presentable(reason.text), {.size = 10, .wrap = width() - 14});
    y_ += gap;
  }

  void line(const Column& in, const char* mark, const std::string& words, const Face& face) {
    make_room(height_of(words, face));
    const Layout dot(cairo_.get(), mark, {.size = face.size});
    dot.show(in.left + 2, y_, colours::quiet_ink);
    y_ += set(in.left + 14, y_, words, face, colours::ink, "P") + 2;
  }

  // The map; at its right, or under a wide one, the job's facts, the states' samples and as many blocks as
  // fit. Gives how many blocks were set.
  std::size_t panel(const std::vector<SheetBlock>& blocks) {
    bookmark("Panel map");
    const bool wide = result_.findings.panel_width_mm > 1.3 * result_.findings.panel_height_mm;
    const double room_x = wide ? width() : width() * 0.56,
                 room_y = std::min(wide ? 330.0 : 500.0, paper_.height - foot - 16 - y_);
    const Picture picture =
        panel_picture(result_, room_x / picture_unit, room_y / picture_unit, largest_scale);
    const double top = y_, tall = picture.height * picture_unit, broad = picture.width * picture_unit;
    make_room(tall);
    begin("Figure");
    cairo_save(cairo_.get());
    cairo_translate(cairo_.get(), margin, y_);
    paint_on(cairo_.get(), picture, picture_unit);
    cairo_restore(cairo_.get());
    end("Figure");
    sheet_.figure_words.push_back(picture_words(result_));
    if (wide) y_ += tall + 8;
    const double x = wide ? margin : margin + std::max(broad, room_x * 0.6) + 18;
    const Column beside{x, wide ? width() * 0.46 : paper_.width - margin - x, 82};
    const double start = y_;
    const int page_before = page_;
    for (const auto& [label, value] : job_facts(result_, statement_)) fact(beside, label, value);
    y_ += 6;
    samples(beside.left, beside.width);
    const double facts_end = y_;
    // Blocks go on under these beside a tall map; at their side under a wide one.
    const Column rest = wide ? Column{margin + width() / 2, width() / 2, 82} : beside;
    double limit = top + tall;
    if (wide) {
      limit = std::max(facts_end, start + height_of(blocks.front(), rest) - 8);
      if (page_ == page_before && limit <= paper_.height - foot - 12)
        y_ = start - 8;
      else
        limit = 0;
    }
    std::size_t placed = 0;
    while (placed < blocks.size() && y_ + height_of(blocks[placed], rest) <= limit)
      write(blocks[placed++], rest);
    y_ = std::max({y_, facts_end, wide ? 0.0 : top + tall}) + 8;
    return placed;
  }

  void samples(double x, double room) {
    const Coverage& c = result_.findings.coverage;
    const std::pair<CellState, std::string> states[] = {
        {CellState::proven, "proven " + percent_down(c.proven)},
        {CellState::silent, "silent " + percent_some(c.silent)},
        {CellState::intermittent, "intermittent " + percent_some(c.intermittent)},
        {CellState::unswept, "unswept " + percent_some(c.unswept)}};
    for (const auto& [state, words] : states) {
      make_room(14);
      Picture swatch;
      Sketch sketch(swatch);
      draw_swatch(sketch, state, {0, 0, 26, 13});
      cairo_save(cairo_.get());
      cairo_translate(cairo_.get(), x, y_ + 1);
      paint_on(cairo_.get(), swatch, picture_unit);
      cairo_restore(cairo_.get());
      y_ += set(x + 28, y_, words, {.size = 8.5, .wrap = room - 28}, colours::ink, "P") + 2;
    }
    y_ += set(x, y_,
              "Cells of " + fixed(result_.findings.grid.cell_mm, 1) + " mm; rulers in mm from the top left.",
              {.size = 8, .wrap = room}, colours::quiet_ink, "P");
  }

  void write(const SheetBlock& block) { write(block, page()); }
  void write(const SheetBlock& block, const Column& in) {
    make_room(std::min(height_of(block, in), 160.0));  // a short block is not parted
    y_ += 8;
    bookmark(block.heading);
    y_ += set(in.left, y_, block.heading, heading_face, colours::ink, "H2") + 3;
    facts(block.facts, in);
    for (const std::string& words : block.lines) line(in, "\u2022", words, line_face(in));
  }

  // Many short ones stand two in a row.
  void facts(const std::vector<std::pair<std::string, std::string>>& all, const Column& in) {
    const Column left{in.left, in.width / 2 - 8, in.label},
        right{in.left + in.width / 2, in.width / 2, in.label};
    const double one_line = height_of("x", value_face(left));
    const bool two =
        in.width > 400 && all.size() >= 5 && std::all_of(all.begin(), all.end(), [&](const auto& each) {
          return height_of(each.second, value_face(left)) <= one_line * 1.5;
        });
    for (std::size_t i = 0; i < all.size(); ++i) {
      if (two && i % 2 == 0) make_room(one_line);
      const double before = y_;
      fact(two && i % 2 ? right : two ? left : in, all[i].first, all[i].second);
      if (two && i % 2 == 0 && i + 1 < all.size()) y_ = before;
    }
  }

  static constexpr Face heading_face{.size = 11.5, .bold = true};

  const CheckResult& result_;
  const Statement& statement_;
  int pages_;
  Paper paper_;
  Sheet sheet_;
  std::unique_ptr<cairo_surface_t, void (*)(cairo_surface_t*)> surface_;
  std::unique_ptr<cairo_t, void (*)(cairo_t*)> cairo_;
  std::set<std::string> fonts_;
  double y_ = margin;
  int page_ = 1;
};

}  // namespace

Sheet draw_sheet(const CheckResult& result, const Statement& statement) {
  // Every page says of how many it is one, which is known when all are set; only the feet tell it, so what is
  // set does not depend on it.
  constexpr int likely = 2;
  Writer writer(result, statement, likely);
  const int pages = writer.write();
  if (pages == likely) return std::move(writer).sheet();
  Writer again(result, statement, pages);
  again.write();
  return std::move(again).sheet();
}

}  // namespace paneproof
