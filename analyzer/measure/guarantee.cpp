#include "analyzer/measure/guarantee.hpp"

#include <algorithm>
#include <cmath>
#include <queue>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

struct Block {
  double x, y, half_x, half_y;  // centre and half sizes, mm
  double bound;                 // R is nowhere in the block above this
  bool operator<(const Block& other) const { return bound < other.bound; }
};

// Can the block hold a judged point? May say yes when it cannot; mask shapes are convex, so a block
// whose corners one of them holds lies in it.
bool may_be_judged(const Panel& panel, const Block& b) {
  const double xs[] = {b.x - b.half_x, b.x + b.half_x}, ys[] = {b.y - b.half_y, b.y + b.half_y};
  const double r = std::min({panel.corner_radius_mm, panel.width_mm / 2, panel.height_mm / 2});
  const double dx = std::max({r - xs[1], xs[0] - (panel.width_mm - r), 0.0});
  const double dy = std::max({r - ys[1], ys[0] - (panel.height_mm - r), 0.0});
  if (dx > 0 && dy > 0 && dx * dx + dy * dy > r * r) return false;
  for (const MaskShape& shape : panel.mask) {
    bool all = true;
    for (const double x : xs)
      for (const double y : ys)
        all = all && (shape.kind == MaskShape::Kind::circle
                          ? length(x - shape.x_mm, y - shape.y_mm) <= shape.width_mm / 2
                          : x >= shape.x_mm && x <= shape.x_mm + shape.width_mm && y >= shape.y_mm &&
                                y <= shape.y_mm + shape.height_mm);
    if (all) return false;
  }
  return true;
}

}  // namespace

Circle largest_untested_circle(const ReportField& field, const Panel& panel,
                               const std::vector<std::uint8_t>& judged) {
  const Raster& raster = field.raster();
  if (std::none_of(judged.begin(), judged.end(), [](std::uint8_t j) { return j != 0; })) return {};
  if (field.empty())
    return {panel.width_mm / 2, panel.height_mm / 2, ceil_mm(2 * length(panel.width_mm, panel.height_mm))};

  double best = -1, best_x = 0, best_y = 0;
  const auto consider = [&](double x, double y) {
    const double radius = field.nearest_mm(x, y);
    if (radius > best && panel.judged(x, y)) best = radius, best_x = x, best_y = y;
    return radius;
  };

  // A good start: the judged pixel that lies furthest from any report.
  const auto& near = field.near_mm();
  std::size_t furthest = 0;
  float furthest_mm = -1;
  for (std::size_t i = 0; i < judged.size(); ++i)
    if (judged[i] && near[i] > furthest_mm) furthest_mm = near[i], furthest = i;
  consider(raster.centre_mm(static_cast<int>(furthest % raster.stride()) - raster.margin),
           raster.centre_mm(static_cast<int>(furthest / raster.stride()) - raster.margin));

  std::priority_queue<Block> open;
  const double left = panel.rim_mm, right = panel.width_mm - panel.rim_mm;
  const double top = panel.rim_mm, bottom = panel.height_mm - panel.rim_mm;
  const double pixel = raster.pixel_mm;
  for (int row = 0; row < raster.rows; ++row)
    for (int column = 0; column < raster.columns; ++column) {
      const double slack = 1.5 * pixel;
      if (near[raster.index(column, row)] + slack <= best) continue;
      const double x0 = std::max(column * pixel, left), x1 = std::min((column + 1) * pixel, right);
      const double y0 = std::max(row * pixel, top), y1 = std::min((row + 1) * pixel, bottom);
      if (x0 > x1 || y0 > y1) continue;
      const Block block{(x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / 2, (y1 - y0) / 2,
                        near[raster.index(column, row)] + slack};
      if (may_be_judged(panel, block)) open.push(block);
    }

  while (!open.empty() && open.top().bound > best + circle_tolerance_mm) {
    const Block block = open.top();
    open.pop();
    const double half_diagonal = length(block.half_x, block.half_y);
    // A block this small beside a mask's curve holds no judged point that its centre does not stand for.
    if (half_diagonal < circle_tolerance_mm / 2) continue;
    for (const int side_x : {-1, 1})
      for (const int side_y : {-1, 1}) {
        Block part{block.x + side_x * block.half_x / 2, block.y + side_y * block.half_y / 2, block.half_x / 2,
                   block.half_y / 2, 0};
        if (!may_be_judged(panel, part)) continue;
        part.bound = consider(part.x, part.y) + half_diagonal / 2;
        if (part.bound > best + circle_tolerance_mm) open.push(part);
      }
  }
  return {round_mm(best_x), round_mm(best_y), ceil_mm(2 * (best + circle_tolerance_mm))};
}

}  // namespace paneproof
