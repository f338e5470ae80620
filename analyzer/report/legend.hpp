// What stands beside or below the panel: dead zones and next steps in words, what cells and marks
// mean, and the key figures. Only marks that occur are explained.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "analyzer/report/check_result.hpp"
#include "analyzer/report/sketch.hpp"

namespace paneproof {

class Legend {
 public:
  // A map alone stands where words tell verdict, next steps and figures already.
  enum class Beside { whole_page, map_alone };
  // Lays the blocks out in `columns` columns of `column_width` page units, the first block first,
  // each where most room is left. `result` is not needed afterwards.
  Legend(const CheckResult& result, Beside beside, int columns, double column_width, double gutter);

  double height() const;
  // Draws the blocks with their top left at `corner`.
  void draw(Sketch& sketch, Spot corner) const;

 private:
  using Sample = std::function<void(Sketch&, const Rectangle&)>;
  struct Row {
    Sample sample;                   // none: words only
    std::string label;               // short words in front, instead of a sample
    std::vector<std::string> lines;  // broken to the width left over
  };
  struct Block {
    std::string title;
    std::vector<Row> rows;
    double x = 0, y = 0;
  };

  void add_zones(const Findings& findings);
  void add_steps(const Verdict& verdict);
  void add_cautions(const Verdict& verdict);
  void add_cells(const Findings& findings);
  void add_marks(const Findings& findings);
  void add_figures(const Findings& findings);
  void begin(std::string title) { blocks_.push_back({std::move(title), {}}); }
  void row(Sample sample, const std::string& words);
  void labelled(const std::string& label, double indent, const std::string& words,
                std::size_t most_lines = 0);
  void arrange(int columns, double gutter);

  static double height_of(const Row& row);
  static double height_of(const Block& block);
  void draw(Sketch& sketch, Spot at, const Row& row, double indent) const;

  double column_width_;
  std::vector<Block> blocks_;
  std::vector<double> depths_;  // of the columns
};

}  // namespace paneproof
