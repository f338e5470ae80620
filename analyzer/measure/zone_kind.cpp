#include "analyzer/measure/zone_kind.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr double edge_mm = 4.5, deepest_edge_mm = 16.0, edge_share = 0.7;
// Of a line that works now and then, losses near its ends may be wanting.
constexpr double line_share = 0.88, line_share_now_and_then = 0.75;
// From a side on a crack leaves part of a line; inside the panel a short one looks like an area.
constexpr double leap_mm = 6.0, widest_part_mm = widest_line_mm - leap_mm, shortest_part_mm = 14.0;
constexpr double ratio_at_side = 1.8, ratio_inside = 2.5;

// lengthwise: most leaps ran along it, not across.
bool part_of_line(double wide_mm, double along_mm, bool at_side, bool lengthwise) {
  const double width_mm = lengthwise ? wide_mm : std::max(3.0, wide_mm - leap_mm);
  if (lengthwise) along_mm -= leap_mm;
  return width_mm <= widest_part_mm && along_mm >= shortest_part_mm &&
         along_mm >= (at_side ? ratio_at_side : ratio_inside) * width_mm;
}

}  // namespace

void tell_kind(DeadZone& zone, const Box& box, const Panel& panel, const Sides& living, Along leaps) {
  const double w = box.width(), h = box.height();
  const bool left = box.x0 < edge_mm, right = panel.width_mm - box.x1 < edge_mm;
  const bool top = box.y0 < edge_mm, bottom = panel.height_mm - box.y1 < edge_mm;
  const auto tell = [&](ZoneKind kind, Along along) { zone.kind = kind, zone.along = along; };
  const double share = zone.intermittent ? line_share_now_and_then : line_share;
  const auto lives = [&](Side side) { return living[static_cast<std::size_t>(side)]; };
  const bool upright_edge = left != right && !lives(left ? Side::left : Side::right);
  const bool level_edge = top != bottom && !lives(top ? Side::top : Side::bottom);
  if (upright_edge && w <= deepest_edge_mm && h >= edge_share * panel.height_mm)
    return tell(ZoneKind::edge_band, Along::column);
  if (level_edge && h <= deepest_edge_mm && w >= edge_share * panel.width_mm)
    return tell(ZoneKind::edge_band, Along::row);
  if (w <= widest_line_mm && h >= share * panel.height_mm && h >= w)
    return tell(ZoneKind::line, Along::column);
  if (h <= widest_line_mm && w >= share * panel.width_mm && w >= h) return tell(ZoneKind::line, Along::row);
  if (h >= w && part_of_line(w, h, top || bottom, leaps == Along::column))
    return tell(ZoneKind::partial_line, Along::column);
  if (w >= h && part_of_line(h, w, left || right, leaps == Along::row))
    return tell(ZoneKind::partial_line, Along::row);
  tell(ZoneKind::area, Along::none);
}

}  // namespace paneproof
