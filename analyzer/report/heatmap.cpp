#include "analyzer/report/heatmap.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "analyzer/report/colours.hpp"
#include "analyzer/report/legend.hpp"
#include "analyzer/report/lettering.hpp"
#include "analyzer/report/panel_picture.hpp"
#include "analyzer/report/png.hpp"
#include "analyzer/report/ruler.hpp"
#include "analyzer/report/svg.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

constexpr double margin = 28, gutter = 36, side_width = 390;
constexpr double widest_page = 1200, tallest_panel = 1060, tallest_wide_panel = 820;
constexpr double largest_scale = 14;  // page units a mm: a small panel needs no more
constexpr double narrowest_page = 860;
constexpr double badge_width = 252, badge_height = 76;
constexpr double reason_line_height =
    18;  // two lines and the source stand beside the badge; more push all down
constexpr std::size_t most_reason_lines = 6;

// "pass" is a tick, "fail" a cross, "resweep" a zigzag as a finger draws it: read without colour.
std::vector<std::vector<Spot>> verdict_mark(Outcome outcome, Spot c) {
  switch (outcome) {
    case Outcome::pass:
      return {{{c.x - 13, c.y + 1}, {c.x - 4, c.y + 11}, {c.x + 14, c.y - 11}}};
    case Outcome::fail:
      return {{{c.x - 11, c.y - 11}, {c.x + 11, c.y + 11}}, {{c.x - 11, c.y + 11}, {c.x + 11, c.y - 11}}};
    case Outcome::resweep:
      break;
  }
  return {{{c.x - 12, c.y - 11},
           {c.x + 12, c.y - 11},
           {c.x - 12, c.y},
           {c.x + 12, c.y},
           {c.x - 12, c.y + 11},
           {c.x + 12, c.y + 11}}};
}

std::string source_line(const Trace& trace) {
  if (trace.sweeps.empty()) return "";
  const SourceFacts& first = trace.sweeps.front();
  std::string line = presentable(first.file) + ", " + presentable(called_format(first.format));
  if (!first.device.empty()) line += ", " + presentable(first.device);
  if (trace.sweeps.size() > 1) line += ", and " + std::to_string(trace.sweeps.size() - 1) + " more sweeps";
  return line;
}

std::string reasons_line(const CheckResult& result) {
  std::string line;
  for (const Note& note : result.notes)
    if (asks(note)) line += "! " + presentable(note.text) + ".";
  for (const Reason& reason : result.verdict.reasons) {
    if (!line.empty()) line += ' ';
    line += presentable(reason.text);
  }
  return line;
}

class Page {
 public:
  explicit Page(const CheckResult& result)
      : result_(result),
        width_mm_(std::max(result.findings.panel_width_mm, 0.001)),
        height_mm_(std::max(result.findings.panel_height_mm, 0.001)),
        wide_(width_mm_ > 1.05 * height_mm_),
        sketch_(picture_) {}

  Picture draw() && {
    lay_out();
    sketch_.box("page", {0, 0, picture_.width, picture_.height}, colours::page);
    draw_header();
    draw_panel(sketch_, result_, scale_);
    legend_->draw(sketch_, legend_at_);
    draw_footer();
    return std::move(picture_);
  }

 private:
  double chosen_scale() const {
    const double beside = wide_ ? 0 : side_width + gutter;
    const double room = widest_page - 2 * margin - ruler_room - beside;
    const double most = std::min(
        {room / width_mm_, (wide_ ? tallest_wide_panel : tallest_panel) / height_mm_, largest_scale});
    return most > 1 ? std::floor(most * 20) / 20 : most;
  }

  void lay_out() {
    scale_.units_per_mm = chosen_scale();
    const double panel_width = scale_.length(width_mm_), panel_height = scale_.length(height_mm_);
    const double beside = wide_ ? 0 : side_width + gutter;
    picture_.width = std::ceil(std::max(narrowest_page, 2 * margin + ruler_room + panel_width + beside));
    picture_.title = "Touch panel " + panel_size(result_.findings) + ": " + word(result_.verdict.outcome);
    const double text_width = picture_.width - 2 * margin - badge_width - 24;
    reasons_ = broken_lines(reasons_line(result_), text_width, 13.5, false, most_reason_lines);
    const double below_badge = std::max(0.0, static_cast<double>(reasons_.size()) - 2) * reason_line_height;
    scale_.left = margin + ruler_room;
    scale_.top = margin + badge_height + below_badge + 22 + up_marker_room + ruler_room;
    const double bottom = scale_.top + panel_height;
    double end = bottom;
    if (wide_) {
      const double column = (picture_.width - 2 * margin - 2 * gutter) / 3;
      legend_.emplace(result_, Legend::Beside::whole_page, 3, column, gutter);
      legend_at_ = {margin, bottom + 30};
      end = legend_at_.y + legend_->height();
    } else {
      legend_.emplace(result_, Legend::Beside::whole_page, 1, side_width, gutter);
      legend_at_ = {picture_.width - margin - side_width, scale_.top - ruler_room};
      end = std::max(bottom, legend_at_.y + legend_->height());
    }
    footer_ = broken_lines(footer_words(), picture_.width - 2 * margin, 11, false, 4);
    footer_y_ = end + 30;
    picture_.height = std::ceil(footer_y_ + static_cast<double>(footer_.size()) * 15 + margin - 15);
  }

  std::string footer_words() const {
    std::string words = "Proven: a report within half a fingertip, " +
                        fixed(result_.findings.fingertip_mm / 2, 1) +
                        " mm, no passage silent. Lengths in mm from the panel's top left.";
    if (!result_.version.empty()) words += " paneproof " + presentable(result_.version) + ".";
    if (!result_.verdict.not_tested.empty()) words += " Not tested: ";
    for (std::size_t i = 0; i < result_.verdict.not_tested.size(); ++i)
      words += (i ? "; " : "") + presentable(result_.verdict.not_tested[i]);
    return words;
  }

  void draw_header() {
    const Colour colour = colours::of(result_.verdict.outcome);
    sketch_.box("verdict", {margin, margin, badge_width, badge_height, 8}, colour);
    for (const auto& stroke : verdict_mark(result_.verdict.outcome, {margin + 38, margin + badge_height / 2}))
      sketch_.line("verdict", stroke, {colours::page, 5});
    sketch_.text("verdict", {margin + 70, margin + 48, 29, shouted(result_.verdict.outcome), true},
                 colours::page);
    const double x = margin + badge_width + 24, room = picture_.width - margin - x;
    sketch_.text("title", {x, margin + 18, 19, "Touch panel " + panel_size(result_.findings), true},
                 colours::ink);
    double y = margin + 40;
    for (const std::string& line : reasons_) {
      sketch_.text("reason", {x, y, 13.5, line}, colours::ink);
      y += reason_line_height;
    }
    for (const std::string& line : broken_lines(source_line(result_.trace), room, 11, false, 1))
      sketch_.text("source", {x, y, 11, line}, colours::quiet_ink);
  }

  void draw_footer() {
    for (std::size_t i = 0; i < footer_.size(); ++i)
      sketch_.text("footer", {margin, footer_y_ + static_cast<double>(i) * 15, 11, footer_[i]},
                   colours::quiet_ink);
  }

  const CheckResult& result_;
  double width_mm_, height_mm_;
  bool wide_;
  Picture picture_;
  Sketch sketch_;
  PanelScale scale_;
  std::optional<Legend> legend_;
  Spot legend_at_;
  std::vector<std::string> reasons_, footer_;
  double footer_y_ = 0;
};

}  // namespace

Picture heatmap(const CheckResult& result) {
  assert(result.findings.panel_width_mm > 0 && result.findings.panel_height_mm > 0);
  return Page(result).draw();
}

std::string heatmap_png(const CheckResult& result) { return paint_png(heatmap(result)); }

std::string heatmap_svg(const CheckResult& result) { return paint_svg(heatmap(result)); }

}  // namespace paneproof
