#include "analyzer/report/legend.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/report/cells.hpp"
#include "analyzer/report/colours.hpp"
#include "analyzer/report/fault_marks.hpp"
#include "analyzer/report/lettering.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

constexpr double size = 12.5, line_height = 16.5, row_gap = 5, title_height = 26, block_gap = 20;
constexpr double sample_width = 30, sample_height = 15;
constexpr double sample_indent = 42, letter_indent = 24, figure_indent = 118;
constexpr std::size_t most_listed = 8, most_step_lines = 8;

}  // namespace

Legend::Legend(const CheckResult& result, Beside beside, int columns, double column_width, double gutter)
    : column_width_(column_width) {
  add_zones(result.findings);
  if (beside == Beside::whole_page) {
    add_steps(result.verdict);
    add_cautions(result.verdict);
  }
  add_cells(result.findings);
  add_marks(result.findings);
  if (beside == Beside::whole_page) add_figures(result.findings);
  arrange(columns, gutter);
}

void Legend::row(Sample sample, const std::string& words) {
  blocks_.back().rows.push_back(
      {std::move(sample), "", broken_lines(words, column_width_ - sample_indent, size)});
}

void Legend::labelled(const std::string& label, double indent, const std::string& words,
                      std::size_t most_lines) {
  blocks_.back().rows.push_back(
      {nullptr, label, broken_lines(words, column_width_ - indent, size, false, most_lines)});
}

void Legend::add_zones(const Findings& findings) {
  const std::vector<DeadZone>& zones = findings.dead_zones;
  if (zones.empty()) return;
  begin("Dead zones");
  for (std::size_t i = 0; i < std::min(zones.size(), most_listed); ++i)
    labelled(zone_letter(i), letter_indent, described(zones[i]));
  if (zones.size() > most_listed)
    labelled("+", letter_indent, std::to_string(zones.size() - most_listed) + " more");
}

void Legend::add_steps(const Verdict& verdict) {
  if (verdict.next_steps.empty()) return;
  begin("Next");
  for (std::size_t i = 0; i < std::min(verdict.next_steps.size(), most_listed); ++i)
    labelled(std::to_string(i + 1), letter_indent, presentable(verdict.next_steps[i]), most_step_lines);
}

// A picture goes about without the text that was printed with it.
void Legend::add_cautions(const Verdict& verdict) {
  if (verdict.cautions.empty()) return;
  begin("Caution");
  for (const std::string& caution : verdict.cautions)
    labelled("!", letter_indent, presentable(caution), most_step_lines);
}

void Legend::add_cells(const Findings& findings) {
  const Coverage& coverage = findings.coverage;
  const auto state = [&](CellState of, const std::string& share, const std::string& meaning) {
    row([of](Sketch& sketch, const Rectangle& place) { draw_swatch(sketch, of, place); },
        std::string(word(of)) + " " + share + ": " + meaning);
  };
  begin("Cells of " + fixed(findings.grid.cell_mm, 1) + " mm");
  state(CellState::proven, percent_down(coverage.proven), "reported everywhere");
  state(CellState::silent, percent_some(coverage.silent), "a finger passed, no report");
  state(CellState::intermittent, percent_some(coverage.intermittent), "silent on some passages");
  state(CellState::unswept, percent_some(coverage.unswept), "no sign of a finger");
  if (coverage.masked_mm2 > 0)
    row(draw_masked_swatch,
        "masked " + fixed(coverage.masked_mm2, 0) + " square mm: rim and mask, not tested");
}

void Legend::add_marks(const Findings& findings) {
  begin("Marks");
  row(
      [](Sketch& sketch, const Rectangle& place) {
        const double y = place.y + place.height / 2;
        sketch.line("path",
                    {{place.x, y + 3}, {place.x + 10, y - 3}, {place.x + 20, y + 3}, {place.x + 30, y - 3}},
                    {colours::path, 1.1});
      },
      "path that the panel reported");
  const auto mark = [&](std::size_t count, Sample sample, const std::string& words) {
    if (count == 0) return;
    const bool cut = count > most_marks;
    row(std::move(sample), words + ": " + std::to_string(count) +
                               (cut ? ", the first " + std::to_string(most_marks) + " drawn" : ""));
  };
  const bool attested = std::any_of(findings.dead_zones.begin(), findings.dead_zones.end(),
                                    [](const DeadZone& z) { return z.attested; });
  mark(findings.dead_zones.size(), draw_zone_sample,
       attested ? "dead zone (dashed: by the operator's word)" : "dead zone");
  mark(findings.dropouts.size(), draw_dropout_sample, "dropout, from lost to regained");
  mark(findings.ghosts.size(), draw_ghost_sample, "ghost touch");
  mark(findings.jumps.size(), draw_jump_sample, "position jump");
  mark(findings.doubts.size(), draw_doubt_sample, "in doubt, drag there again");
  mark(findings.quality.left.size(), draw_stroke_sample, "stroke left to draw");
  if (findings.coverage.largest_untested.diameter_mm > 0)
    row(draw_untested_sample, "largest circle without a report");
}

void Legend::add_figures(const Findings& findings) {
  begin("Figures");
  for (const Figure& figure : key_figures(findings)) labelled(figure.label, figure_indent, figure.value);
}

double Legend::height_of(const Row& row) {
  return std::max(1.0, static_cast<double>(row.lines.size())) * line_height + row_gap;
}

double Legend::height_of(const Block& block) {
  double sum = title_height + block_gap;
  for (const Row& row : block.rows) sum += height_of(row);
  return sum;
}

void Legend::arrange(int columns, double gutter) {
  depths_.assign(static_cast<std::size_t>(std::max(columns, 1)), 0);
  for (Block& block : blocks_) {
    const auto column = std::min_element(depths_.begin(), depths_.end());
    block.x = static_cast<double>(column - depths_.begin()) * (column_width_ + gutter);
    block.y = *column;
    *column += height_of(block);
  }
}

double Legend::height() const { return *std::max_element(depths_.begin(), depths_.end()) - block_gap; }

void Legend::draw(Sketch& sketch, Spot at, const Row& row, double indent) const {
  if (row.sample) row.sample(sketch, {at.x, at.y, sample_width, sample_height});
  sketch.text("legend", {at.x, at.y + 12, size, row.label, indent == letter_indent, Anchor::start},
              indent == letter_indent ? colours::ink : colours::quiet_ink);
  for (std::size_t i = 0; i < row.lines.size(); ++i)
    sketch.text("legend",
                {at.x + indent, at.y + 12 + static_cast<double>(i) * line_height, size, row.lines[i]},
                colours::ink);
}

void Legend::draw(Sketch& sketch, Spot corner) const {
  for (const Block& block : blocks_) {
    Spot at{corner.x + block.x, corner.y + block.y};
    sketch.text("legend-title", {at.x, at.y + 13, 14, block.title, true}, colours::ink);
    sketch.line("legend-rule", {{at.x, at.y + 19}, {at.x + column_width_, at.y + 19}}, {colours::rule, 1});
    at.y += title_height;
    for (const Row& row : block.rows) {
      const double indent = row.sample                 ? sample_indent
                            : block.title == "Figures" ? figure_indent
                                                       : letter_indent;
      draw(sketch, at, row, indent);
      at.y += height_of(row);
    }
  }
}

}  // namespace paneproof
