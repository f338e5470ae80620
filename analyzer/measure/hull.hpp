// The convex hull of some points.
#pragma once

#include <vector>

#include "analyzer/measure/findings.hpp"

namespace paneproof {

class Hull {
 public:
  explicit Hull(std::vector<Point> points);
  // Border included. False for fewer than three corners.
  bool holds(double x_mm, double y_mm) const;

 private:
  std::vector<Point> corners_;  // clockwise as the panel is seen
};

}  // namespace paneproof
