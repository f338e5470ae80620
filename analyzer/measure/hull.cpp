// By Andrew's monotone chain (1979).
#include "analyzer/measure/hull.hpp"

#include <algorithm>

namespace paneproof {
namespace {
constexpr double rounding_mm2 = 1e-9;

double turn(Point a, Point b, double x_mm, double y_mm) {
  return (b.x_mm - a.x_mm) * (y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (x_mm - a.x_mm);
}
}  // namespace

Hull::Hull(std::vector<Point> points) {
  std::sort(points.begin(), points.end(),
            [](Point a, Point b) { return a.x_mm != b.x_mm ? a.x_mm < b.x_mm : a.y_mm < b.y_mm; });
  const auto chain = [&](auto begin, auto end) {
    const std::size_t base = corners_.size();
    for (auto p = begin; p != end; ++p) {
      while (corners_.size() >= base + 2 &&
             turn(corners_[corners_.size() - 2], corners_.back(), p->x_mm, p->y_mm) <= 0)
        corners_.pop_back();
      corners_.push_back(*p);
    }
    if (corners_.size() > base) corners_.pop_back();  // the next chain begins with it
  };
  chain(points.begin(), points.end());
  chain(points.rbegin(), points.rend());
}

bool Hull::holds(double x_mm, double y_mm) const {
  if (corners_.size() < 3) return false;
  for (std::size_t i = 0; i < corners_.size(); ++i)
    if (turn(corners_[i], corners_[(i + 1) % corners_.size()], x_mm, y_mm) < -rounding_mm2) return false;
  return true;
}

}  // namespace paneproof
