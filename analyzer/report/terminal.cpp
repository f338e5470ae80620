#include "analyzer/report/terminal.hpp"

#include <algorithm>

#include "analyzer/report/cell_map.hpp"
#include "analyzer/report/fault_marks.hpp"
#include "analyzer/report/lettering.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

constexpr std::size_t widest = 80;
constexpr int map_rows = 24;              // a map that leaves the verdict on the screen
constexpr std::size_t beside_least = 40;  // columns that figures need beside the map
constexpr std::size_t label_width = 16;
constexpr std::size_t most_listed = 12;

const char* code(Outcome outcome) {
  return outcome == Outcome::pass ? "1;32" : outcome == Outcome::fail ? "1;31" : "1;33";
}

const char* code(MapMark mark) {
  switch (mark) {
    case MapMark::silent:
      return "1;31";
    case MapMark::intermittent:
      return "1;35";
    case MapMark::unswept:
      return "33";
    case MapMark::proven:
      return "36";
    case MapMark::masked:
      break;
  }
  return "";
}

class Summary {
 public:
  Summary(const CheckResult& result, bool colour) : result_(result), colour_(colour) {}

  std::string write() {
    verdict();
    map_and_figures();
    dead_zones();
    bullets("Next", result_.verdict.next_steps, true);
    bullets("Caution", result_.verdict.cautions, false);
    bullets("Not tested", result_.verdict.not_tested, false);
    notes();
    customer();
    return std::move(out_);
  }

 private:
  // A line with what it looks like: `length` characters are seen, whatever codes it holds.
  struct Line {
    std::string text;
    std::size_t length = 0;
  };

  std::string painted(const std::string& text, const std::string& with) const {
    return colour_ && !with.empty() ? "\x1b[" + with + "m" + text + "\x1b[0m" : text;
  }
  void line(const std::string& text) { out_ += text + "\n"; }
  void heading(const std::string& words) { line("\n" + painted(words, "1")); }

  // Words with `mark` in front; further lines stand under the first.
  void hanging(const std::string& mark, const std::string& words) {
    const std::size_t indent = mark.size();
    bool first = true;
    for (const std::string& part : broken_lines(words, widest - indent)) {
      line((first ? mark : std::string(indent, ' ')) + part);
      first = false;
    }
  }

  void verdict() {
    const Outcome outcome = result_.verdict.outcome;
    line(painted(shouted(outcome), code(outcome)) + "  touch panel " + panel_size(result_.findings));
    for (const Reason& reason : result_.verdict.reasons)
      hanging("  - ", presentable(reason.id) + ": " + presentable(reason.text));
    for (const Note& note : result_.notes)
      if (asks(note)) hanging("  ! ", presentable(note.text));
    std::string conditions;
    for (const Condition condition : result_.conditions)
      conditions += (conditions.empty() ? "" : ", ") + std::string(word(condition));
    if (!conditions.empty()) hanging("  ", "checked with: " + conditions);
    if (result_.swept_all) hanging("  ", "the operator states that the finger went everywhere");
  }

  // Each mark is two characters wide, as a character is about twice as high as wide.
  std::vector<Line> map_lines(const CellMap& map) const {
    std::vector<Line> lines;
    if (map.rows.empty()) return lines;
    const std::size_t width = 2 * map.rows.front().size();
    std::string upper(width, '-');
    if (width >= 5) upper.replace(width / 2 - 2, 5, " top ");
    lines.push_back({"  +" + upper + "+", width + 4});
    for (const auto& row : map.rows) {
      std::string text = "  |";
      for (std::size_t i = 0, next = 0; i < row.size(); i = next) {
        while (next < row.size() && row[next] == row[i]) ++next;
        text += painted(std::string(2 * (next - i), static_cast<char>(row[i])), code(row[i]));
      }
      lines.push_back({text + "|", width + 4});
    }
    lines.push_back({"  +" + std::string(width, '-') + "+", width + 4});
    return lines;
  }

  std::vector<std::string> figure_lines(std::size_t width) const {
    std::vector<std::string> lines;
    for (const Figure& figure : key_figures(result_.findings)) {
      std::string label = figure.label;
      label.resize(label_width, ' ');
      for (const std::string& part : broken_lines(figure.value, width - label_width)) {
        lines.push_back(label + part);
        label.assign(label_width, ' ');
      }
    }
    return lines;
  }

  void map_and_figures() {
    const Grid& grid = result_.findings.grid;
    const CellMap map = cell_map(grid, (static_cast<int>(widest) - 4) / 2, map_rows);
    const std::vector<Line> left = map_lines(map);
    const std::size_t map_width = left.empty() ? 0 : left.front().length;
    const bool beside = map_width + 3 + beside_least <= widest;
    line("");
    if (beside) {
      const auto right = figure_lines(widest - map_width - 3);
      for (std::size_t i = 0; i < std::max(left.size(), right.size()); ++i) {
        std::string text = i < left.size() ? left[i].text : std::string(map_width, ' ');
        if (i < right.size()) text += "   " + right[i];
        line(text);
      }
      map_key(map);
    } else {
      for (const Line& row : left) line(row.text);
      map_key(map);
      line("");
      for (const std::string& figure : figure_lines(widest - 2)) line("  " + figure);
    }
  }

  void map_key(const CellMap& map) {
    if (map.rows.empty()) return;
    const Coverage& c = result_.findings.coverage;
    hanging("  ", ".. proven " + percent_down(c.proven) + "  ## silent " + percent_some(c.silent) +
                      "  %% intermittent " + percent_some(c.intermittent) + "  ?? unswept " +
                      percent_some(c.unswept) + "  blank: masked");
    const std::string side = fixed(result_.findings.grid.cell_mm * map.cells_a_mark, 1);
    hanging("  ", "each mark " + side + " x " + side + " mm" +
                      (map.cells_a_mark > 1 ? ", the worst of its cells" : ""));
  }

  void dead_zones() {
    const std::vector<DeadZone>& zones = result_.findings.dead_zones;
    if (zones.empty()) return;
    heading("Dead zones");
    for (std::size_t i = 0; i < std::min(zones.size(), most_listed); ++i)
      hanging("  " + zone_letter(i) + "  ", described(zones[i]));
    if (zones.size() > most_listed) line("     and " + std::to_string(zones.size() - most_listed) + " more");
  }

  void bullets(const char* title, const std::vector<std::string>& items, bool numbered) {
    if (items.empty()) return;
    heading(title);
    for (std::size_t i = 0; i < items.size(); ++i)
      hanging(numbered ? "  " + std::to_string(i + 1) + ". " : "  - ", presentable(items[i]));
  }

  void notes() {
    if (std::all_of(result_.notes.begin(), result_.notes.end(), asks)) return;
    heading("Notes");
    for (const Note& note : result_.notes)
      if (!asks(note))
        hanging("  - ", presentable(note.text) +
                            (note.count > 1 ? " (" + std::to_string(note.count) + " times)" : ""));
  }

  void customer() {
    if (result_.verdict.customer.empty()) return;
    heading("For the customer");
    hanging("", presentable(result_.verdict.customer));
  }

  const CheckResult& result_;
  bool colour_;
  std::string out_;
};

}  // namespace

std::string terminal_summary(const CheckResult& result, bool colour) {
  return Summary(result, colour).write();
}

}  // namespace paneproof
