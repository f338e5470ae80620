#include "analyzer/report/cells.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "analyzer/report/colours.hpp"

namespace paneproof {
namespace {

constexpr double smallest_mark = 8;  // page units: a mark smaller than this is not seen
constexpr double largest_mark = 32;  // page units: larger cells carry several
constexpr double level_pitch = 5;    // page units between the lines over masked places

struct Marks {
  Segments crosses, diagonals, dots;
};

void add_mark(Marks& marks, CellState state, const Rectangle& cell) {
  const double reach = 0.3 * std::min(cell.width, cell.height);
  const double x = cell.x + cell.width / 2, y = cell.y + cell.height / 2;
  const double w = cell.width / 2, h = cell.height / 2;
  switch (state) {
    case CellState::proven:
      break;
    case CellState::silent:
      marks.crosses.lines.push_back({{x - reach, y - reach}, {x + reach, y + reach}});
      marks.crosses.lines.push_back({{x - reach, y + reach}, {x + reach, y - reach}});
      break;
    case CellState::intermittent:
      marks.diagonals.lines.push_back({{x - w, y + h}, {x + w, y - h}});
      marks.diagonals.lines.push_back({{x - w, y}, {x, y - h}});
      marks.diagonals.lines.push_back({{x, y + h}, {x + w, y}});
      break;
    case CellState::unswept:
      // Off the middle, where a stroke left to draw would hide them.
      marks.dots.lines.push_back({{x - w / 2, y - h / 2}, {x - w / 2, y - h / 2}});
      marks.dots.lines.push_back({{x + w / 2, y + h / 2}, {x + w / 2, y + h / 2}});
      break;
  }
}

// Larger cells are tiled with marks: a texture, whatever the scale.
void add_marks(Marks& marks, CellState state, const Rectangle& cell) {
  if (state == CellState::proven) return;
  const int across = std::max(1, static_cast<int>(std::ceil(cell.width / largest_mark)));
  const int down = std::max(1, static_cast<int>(std::ceil(cell.height / largest_mark)));
  const double width = cell.width / across, height = cell.height / down;
  for (int row = 0; row < down; ++row)
    for (int column = 0; column < across; ++column)
      add_mark(marks, state, {cell.x + column * width, cell.y + row * height, width, height});
}

void draw_marks(Sketch& sketch, Marks&& marks) {
  sketch.lines("mark-silent", std::move(marks.crosses), {colours::silent_mark, 1.4});
  sketch.lines("mark-intermittent", std::move(marks.diagonals), {colours::intermittent_mark, 1.2});
  sketch.lines("mark-unswept", std::move(marks.dots), {colours::unswept_mark, 2.4});
}

class CellDrawing {
 public:
  CellDrawing(const Grid& grid, double width_mm, double height_mm, const PanelScale& scale)
      : grid_(grid),
        width_mm_(width_mm),
        height_mm_(height_mm),
        scale_(scale),
        stride_(std::max(1, static_cast<int>(std::ceil(smallest_mark / scale.length(grid.cell_mm))))) {}

  // Neighbours of one state in a row are one rectangle.
  void draw(Sketch& sketch) {
    for (int row = 0; row < grid_.rows; ++row) {
      for (int first = 0, next = 0; first < grid_.columns; first = next) {
        while (next < grid_.columns && same(first, next, row)) ++next;
        draw_run(sketch, first, next, row);
      }
    }
    draw_marks(sketch, std::move(marks_));
  }

 private:
  bool masked(int column, int row) const {
    const std::size_t index = static_cast<std::size_t>(row) * grid_.columns + column;
    return index < grid_.masked.size() && grid_.masked[index] != 0;
  }
  bool same(int a, int b, int row) const {
    return masked(a, row) == masked(b, row) && (masked(a, row) || grid_.at(a, row) == grid_.at(b, row));
  }

  Rectangle box(int first, int next, int row) const {
    const double left = std::min(first * grid_.cell_mm, width_mm_),
                 right = std::min(next * grid_.cell_mm, width_mm_);
    const double upper = std::min(row * grid_.cell_mm, height_mm_);
    const double lower = std::min((row + 1) * grid_.cell_mm, height_mm_);
    return {scale_.x(left), scale_.y(upper), scale_.length(right - left), scale_.length(lower - upper)};
  }

  void draw_run(Sketch& sketch, int first, int next, int row) {
    if (masked(first, row)) {
      sketch.box("masked", box(first, next, row), colours::masked);
      return;
    }
    const CellState state = grid_.at(first, row);
    sketch.box(cell_role(state), box(first, next, row), colours::of(state));
    for (int column = first; column < next; ++column)
      if (carries_mark(column, first, row)) add_marks(marks_, state, mark_box(column, row));
  }

  // Cells too small for marks share them; the first cell of a region always has one.
  bool carries_mark(int column, int first, int row) const {
    if (column % stride_ == 0 && row % stride_ == 0) return true;
    return column == first && (row == 0 || !same_above(column, row));
  }
  bool same_above(int column, int row) const {
    return !masked(column, row - 1) && grid_.at(column, row) == grid_.at(column, row - 1);
  }
  Rectangle mark_box(int column, int row) const {
    Rectangle cell = box(column, column + 1, row);
    if (stride_ == 1) return cell;
    const double x = cell.x + cell.width / 2, y = cell.y + cell.height / 2;
    return {x - smallest_mark / 2, y - smallest_mark / 2, smallest_mark, smallest_mark};
  }

  const Grid& grid_;
  double width_mm_, height_mm_;
  const PanelScale& scale_;
  int stride_;
  Marks marks_;
};

// Level lines at whole multiples of the pitch, so that they run on from shape to shape.
template <typename Reach>  // (y) -> pair of x, or an empty one
Segments level_lines(double upper, double lower, Reach reach) {
  Segments lines;
  for (double y = std::ceil(upper / level_pitch) * level_pitch; y < lower; y += level_pitch) {
    const auto [left, right] = reach(y);
    if (right > left) lines.lines.push_back({{left, y}, {right, y}});
  }
  return lines;
}

const Pen masked_pen{colours::masked_mark, 1};

void draw_masked_box(Sketch& sketch, const Rectangle& box, std::optional<Pen> outline = {}) {
  if (box.width <= 0 || box.height <= 0) return;
  sketch.box("masked", box, colours::masked);
  sketch.lines("mark-masked",
               level_lines(box.y, box.y + box.height,
                           [&](double) {
                             return std::pair{box.x, box.x + box.width};
                           }),
               masked_pen);
  if (outline) sketch.box("masked", box, {}, outline);
}

void draw_masked_disc(Sketch& sketch, Spot centre, double radius) {
  sketch.disc("masked", centre, radius, colours::masked, Pen{colours::quiet_ink, 1});
  sketch.lines("mark-masked",
               level_lines(centre.y - radius, centre.y + radius,
                           [&](double y) {
                             const double half =
                                 std::sqrt(std::max(0.0, radius * radius - (y - centre.y) * (y - centre.y)));
                             return std::pair{centre.x - half, centre.x + half};
                           }),
               masked_pen);
}

// What a rounded corner leaves out: between the corner itself and the arc.
void draw_corner(Sketch& sketch, Spot corner, double radius, double to_right, double to_bottom) {
  constexpr int steps = 12;
  std::vector<Spot> spots = {corner};
  const Spot centre{corner.x + to_right * radius, corner.y + to_bottom * radius};
  for (int step = 0; step <= steps; ++step) {
    const double angle = std::numbers::pi / 2 * step / steps;
    spots.push_back(
        {centre.x - to_right * radius * std::cos(angle), centre.y - to_bottom * radius * std::sin(angle)});
  }
  sketch.polygon("masked", std::move(spots), colours::masked, Pen{colours::masked_mark, 1});
}

}  // namespace

const char* cell_role(CellState state) {
  switch (state) {
    case CellState::proven:
      return "cell-proven";
    case CellState::silent:
      return "cell-silent";
    case CellState::intermittent:
      return "cell-intermittent";
    case CellState::unswept:
      break;
  }
  return "cell-unswept";
}

void draw_cells(Sketch& sketch, const Grid& grid, double width_mm, double height_mm,
                const PanelScale& scale) {
  if (grid.columns <= 0 || grid.rows <= 0 || grid.cell_mm <= 0) return;
  CellDrawing(grid, width_mm, height_mm, scale).draw(sketch);
}

void draw_mask(Sketch& sketch, const Panel& panel, double width_mm, double height_mm,
               const PanelScale& scale) {
  const double left = scale.x(0), right = scale.x(width_mm), upper = scale.y(0), lower = scale.y(height_mm);
  const double rim = scale.length(std::min({panel.rim_mm, width_mm / 2, height_mm / 2}));
  draw_masked_box(sketch, {left, upper, right - left, rim});
  draw_masked_box(sketch, {left, lower - rim, right - left, rim});
  draw_masked_box(sketch, {left, upper + rim, rim, lower - upper - 2 * rim});
  draw_masked_box(sketch, {right - rim, upper + rim, rim, lower - upper - 2 * rim});
  const double radius = scale.length(std::min({panel.corner_radius_mm, width_mm / 2, height_mm / 2}));
  if (radius > 0) {
    draw_corner(sketch, {left, upper}, radius, 1, 1);
    draw_corner(sketch, {right, upper}, radius, -1, 1);
    draw_corner(sketch, {left, lower}, radius, 1, -1);
    draw_corner(sketch, {right, lower}, radius, -1, -1);
  }
  for (const MaskShape& shape : panel.mask) {
    if (shape.kind == MaskShape::Kind::circle)
      draw_masked_disc(sketch, scale.at(shape.x_mm, shape.y_mm), scale.length(shape.width_mm) / 2);
    else
      draw_masked_box(sketch,
                      {scale.x(shape.x_mm), scale.y(shape.y_mm), scale.length(shape.width_mm),
                       scale.length(shape.height_mm)},
                      Pen{colours::quiet_ink, 1});
  }
}

void draw_swatch(Sketch& sketch, CellState state, const Rectangle& place) {
  sketch.box(cell_role(state), place, colours::of(state));
  Marks marks;
  Rectangle half = place;
  half.width /= 2;
  add_mark(marks, state, half);
  half.x += half.width;
  add_mark(marks, state, half);
  draw_marks(sketch, std::move(marks));
  sketch.box("legend-frame", place, {}, Pen{colours::quiet_ink, 0.8});
}

void draw_masked_swatch(Sketch& sketch, const Rectangle& place) {
  draw_masked_box(sketch, place, Pen{colours::quiet_ink, 0.8});
}

}  // namespace paneproof
