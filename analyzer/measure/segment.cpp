#include "analyzer/measure/segment.hpp"

#include <algorithm>

namespace paneproof {
namespace {

double cross(Point o, Point p, Point q) {
  return (p.x_mm - o.x_mm) * (q.y_mm - o.y_mm) - (p.y_mm - o.y_mm) * (q.x_mm - o.x_mm);
}

double squared_to_segment(Point p, const Segment& s) {
  const double dx = s.b.x_mm - s.a.x_mm, dy = s.b.y_mm - s.a.y_mm, length2 = dx * dx + dy * dy;
  const double along =
      length2 > 0 ? std::clamp(((p.x_mm - s.a.x_mm) * dx + (p.y_mm - s.a.y_mm) * dy) / length2, 0.0, 1.0) : 0;
  const double x = p.x_mm - s.a.x_mm - along * dx, y = p.y_mm - s.a.y_mm - along * dy;
  return x * x + y * y;
}

}  // namespace

double squared_distance(const Segment& s, const Segment& t) {
  if (cross(s.a, s.b, t.a) * cross(s.a, s.b, t.b) < 0 && cross(t.a, t.b, s.a) * cross(t.a, t.b, s.b) < 0)
    return 0;
  return std::min({squared_to_segment(s.a, t), squared_to_segment(s.b, t), squared_to_segment(t.a, s),
                   squared_to_segment(t.b, s)});
}

bool boxes_apart(const Segment& s, const Segment& t, double mm) {
  return std::max(s.a.x_mm, s.b.x_mm) + mm < std::min(t.a.x_mm, t.b.x_mm) ||
         std::max(t.a.x_mm, t.b.x_mm) + mm < std::min(s.a.x_mm, s.b.x_mm) ||
         std::max(s.a.y_mm, s.b.y_mm) + mm < std::min(t.a.y_mm, t.b.y_mm) ||
         std::max(t.a.y_mm, t.b.y_mm) + mm < std::min(s.a.y_mm, s.b.y_mm);
}

}  // namespace paneproof
