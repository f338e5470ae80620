#include "analyzer/ledger/stages_picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analyzer/ledger/difference.hpp"
#include "analyzer/report/cells.hpp"
#include "analyzer/report/colours.hpp"
#include "analyzer/report/fault_marks.hpp"
#include "analyzer/report/lettering.hpp"
#include "analyzer/report/ruler.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

constexpr double margin = 28, gutter = 44, title_room = 74, words_room = 40, tallest = 520, widest = 300;
constexpr std::size_t most_stages = 6;
constexpr Colour better_colour{47, 125, 91};

class Board {
 public:
  Board(const std::vector<StageResult>& stages, const std::string& job) : sketch_(picture_), job_(job) {
    const std::size_t first = stages.size() > most_stages ? stages.size() - most_stages : 0;
    for (std::size_t i = first; i < stages.size(); ++i) stages_.push_back(&stages[i]);
  }

  Picture draw() && {
    double width_mm = 1, height_mm = 1;
    for (const StageResult* stage : stages_) {
      width_mm = std::max(width_mm, stage->answer.findings.panel_width_mm);
      height_mm = std::max(height_mm, stage->answer.findings.panel_height_mm);
    }
    unit_ = std::min(tallest / height_mm, widest / width_mm);
    column_ = std::max(width_mm * unit_ + ruler_room, 210.0) + gutter;
    tall_ = height_mm * unit_ + ruler_room + up_marker_room;
    picture_.width = std::ceil(
        std::max(2 * (margin + key_width), 2 * margin + column_ * static_cast<double>(stages_.size())));
    const bool compared = stages_.size() > 1;
    picture_.height = std::ceil(title_room + (compared ? 2 : 1) * (tall_ + words_room) + 2 * margin +
                                (compared ? key_height() + 16 : 0));
    picture_.title = "Job " + presentable(job_) + (compared ? ": stages and differences" : ": one stage");
    sketch_.box("page", {0, 0, picture_.width, picture_.height}, colours::page);
    for (const std::string& line : broken_lines(picture_.title, picture_.width - 2 * margin, 19, true, 1))
      sketch_.text("title", {margin, margin + 16, 19, line, true}, colours::ink);
    for (std::size_t i = 0; i < stages_.size(); ++i) {
      draw_stage(i);
      if (i > 0) draw_difference(i);
    }
    if (compared) draw_key();
    return std::move(picture_);
  }

 private:
  PanelScale scale_at(std::size_t i, double top) const {
    return {margin + ruler_room + column_ * static_cast<double>(i), top + ruler_room + up_marker_room, unit_};
  }

  void words(std::size_t i, double y, const std::string& first, const std::string& second) {
    const double x = margin + column_ * static_cast<double>(i);
    sketch_.text("stage", {x, y, 14, first, true}, colours::ink);
    sketch_.text("stage", {x, y + 16, 11, second}, colours::quiet_ink);
  }

  void draw_stage(std::size_t i) {
    const StageResult& stage = *stages_[i];
    const Findings& f = stage.answer.findings;
    words(i, title_room, stage.stage + ": " + stage.verdict,
          "entry " + std::to_string(stage.number) + ", " + stage.stated_time.substr(0, 16));
    const PanelScale scale = scale_at(i, title_room + 20);
    draw_cells(sketch_, f.grid, f.panel_width_mm, f.panel_height_mm, scale);
    draw_mask(sketch_, stage.answer.trace.panel, f.panel_width_mm, f.panel_height_mm, scale);
    draw_outline(sketch_, f.panel_width_mm, f.panel_height_mm, stage.answer.trace.panel.corner_radius_mm,
                 scale);
    draw_rulers(sketch_, f.panel_width_mm, f.panel_height_mm, scale);
    draw_fault_marks(sketch_, f, scale);
  }

  void draw_difference(std::size_t i) {
    const Findings &was = stages_[i - 1]->answer.findings, &is = stages_[i]->answer.findings;
    const double top = title_room + tall_ + words_room + 20;
    const bool compared = comparable(*stages_[i - 1], *stages_[i]);
    words(i, top, stages_[i - 1]->stage + " to " + stages_[i]->stage,
          compared ? "what changed by more than chance" : "sizes differ: not compared");
    if (!compared) return;
    const auto changes = difference(cell_passages(stages_[i - 1]->answer.trace, was),
                                    cell_passages(stages_[i]->answer.trace, is));
    const PanelScale scale = scale_at(i, top + 20);
    for (int row = 0; row < is.grid.rows; ++row)
      for (int column = 0; column < is.grid.columns; ++column)
        draw_cell(is, scale, column, row,
                  changes[static_cast<std::size_t>(row) * static_cast<std::size_t>(is.grid.columns) +
                          static_cast<std::size_t>(column)]);
    draw_outline(sketch_, is.panel_width_mm, is.panel_height_mm,
                 stages_[i]->answer.trace.panel.corner_radius_mm, scale);
    draw_rulers(sketch_, is.panel_width_mm, is.panel_height_mm, scale);
  }

  void draw_cell(const Findings& f, const PanelScale& scale, int column, int row, Change change) {
    const double x = column * f.grid.cell_mm, y = row * f.grid.cell_mm;
    mark({scale.x(x), scale.y(y), scale.length(std::min(f.grid.cell_mm, f.panel_width_mm - x)),
          scale.length(std::min(f.grid.cell_mm, f.panel_height_mm - y))},
         change);
  }

  // Worse: filled with a cross; better: filled with a bar; none: plain; untested: a dot.
  void mark(const Rectangle& place, Change change) {
    const double cx = place.x + place.width / 2, cy = place.y + place.height / 2,
                 r = std::min(place.width, place.height) * 0.28;
    const Colour fill = change == Change::worse    ? colours::fault
                        : change == Change::better ? better_colour
                        : change == Change::none   ? colours::page
                                                   : colours::unswept;
    sketch_.box("difference", place, fill, Pen{colours::rule, 0.5});
    if (change == Change::worse)
      sketch_.lines("difference",
                    {{{{cx - r, cy - r}, {cx + r, cy + r}}, {{cx - r, cy + r}, {cx + r, cy - r}}}},
                    {colours::page, 1.2});
    if (change == Change::better)
      sketch_.lines("difference", {{{{cx - r, cy}, {cx + r, cy}}}}, {colours::page, 1.6});
    if (change == Change::untested) sketch_.disc("difference", {cx, cy}, 0.9, colours::quiet_ink);
  }

  // As many side by side as the board is wide.
  std::size_t keys_a_row() const {
    return std::max<std::size_t>(1, static_cast<std::size_t>((picture_.width - 2 * margin) / key_width));
  }
  double key_height() const {
    return static_cast<double>((keys.size() + keys_a_row() - 1) / keys_a_row()) * key_row;
  }

  void draw_key() {
    const double top = picture_.height - margin - key_height();
    for (std::size_t i = 0; i < keys.size(); ++i) {
      const double x = margin + key_width * static_cast<double>(i % keys_a_row()),
                   y = top + key_row * static_cast<double>(i / keys_a_row());
      mark({x, y, 14, 14}, keys[i].first);
      sketch_.text("key", {x + 20, y + 12, 11.5, keys[i].second}, colours::ink);
    }
  }

  static constexpr std::array<std::pair<Change, const char*>, 4> keys{
      {{Change::worse, "loses contact more often"},
       {Change::better, "loses contact less often"},
       {Change::none, "no change beyond chance"},
       {Change::untested, "too few passages to tell"}}};
  static constexpr double key_width = 186, key_row = 22;
  Picture picture_;
  Sketch sketch_;
  std::string job_;
  std::vector<const StageResult*> stages_;
  double unit_ = 1, column_ = 0, tall_ = 0;
};

}  // namespace

Picture stages_picture(const std::vector<StageResult>& stages, const std::string& job) {
  return Board(stages, job).draw();
}

}  // namespace paneproof
