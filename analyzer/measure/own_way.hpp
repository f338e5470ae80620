// A finger's own way: the parabola across a chord that its reports lie on. Fingers go straight or round wide
// arcs; what a panel does to the reports that follow shows against it.
#pragma once

#include <cstdint>
#include <optional>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

class OwnWay {
 public:
  double along_mm(double x_mm, double y_mm) const;  // from the chord's beginning
  double chord_mm() const { return 2 * half_mm_; }
  double off_mm(double x_mm, double y_mm) const;  // across the way, positive to the right of it (y down)
  double bow_mm() const { return bow_mm_; }       // how far its ends lie off the tangent at the middle
  double rest_mm() const { return rest_mm_; }     // RMS of the reports about it

 private:
  friend std::optional<OwnWay> own_way(const Trace&, std::uint32_t, std::uint32_t, Point, Point);
  OwnWay(Point from, Point to);
  double across_mm(double x_mm, double y_mm) const;
  double t(double x_mm, double y_mm) const { return along_mm(x_mm, y_mm) / half_mm_ - 1; }

  Point from_;
  double ux_, uy_, half_mm_;
  double level_mm_ = 0, slope_mm_ = 0, bow_mm_ = 0;
  double rest_mm_ = 0;
};

// Least squares through the reports [first, last]; the chord leads from `from` to `to`, which lie apart.
// nullopt for fewer than five reports, or where they do not settle a parabola.
std::optional<OwnWay> own_way(const Trace& trace, std::uint32_t first, std::uint32_t last, Point from,
                              Point to);

}  // namespace paneproof
