// Where reports lie: an index by pixel that answers "how far is the nearest report?" exactly.
#pragma once

#include <algorithm>
#include <cstdint>
#include <vector>

#include "analyzer/measure/raster.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

class ReportField {
 public:
  // Reports for which `counts` is 0 are left out (ghosts, palms: they prove nothing), and so are those
  // further outside the glass than the raster's margin. `counts` is per contact.
  ReportField(const Trace& trace, const Raster& raster, const std::vector<std::uint8_t>& counts);

  const Raster& raster() const { return raster_; }
  bool empty() const { return spots_.empty(); }

  // Distance in mm from each pixel's centre to the nearest occupied pixel's centre (size of the raster,
  // margin included); within 0.71 pixel of the distance to the nearest report. All 1e9 when empty.
  const std::vector<float>& near_mm() const { return near_mm_; }

  // Exact distance in mm to the nearest report; 1e9 when empty. About 2 pi R / pixel look-ups.
  double nearest_mm(double x_mm, double y_mm) const;

  // Is a report within `radius_mm`? Stops at the first.
  bool any_within(double x_mm, double y_mm, double radius_mm) const;

  // Does wanted(report index) hold for any report within radius_mm? Stops at the first.
  template <class Wanted>
  bool some_within(double x_mm, double y_mm, double radius_mm, Wanted wanted) const;

 private:
  Raster raster_;
  std::vector<std::uint32_t> start_;  // per pixel, into the arrays below; one past the end added
  struct Spot {
    std::int32_t x_um, y_um;  // exact: a trace's positions are whole micrometres
    std::uint32_t report;
    double x_mm() const { return x_um / 1e3; }
    double y_mm() const { return y_um / 1e3; }
  };
  std::vector<Spot> spots_;  // by pixel
  std::vector<float> near_mm_;
};

template <class Wanted>
bool ReportField::some_within(double x_mm, double y_mm, double radius_mm, Wanted wanted) const {
  const Raster& r = raster_;
  const int top = std::max(r.at(y_mm - radius_mm), -r.margin);
  const int bottom = std::min(r.at(y_mm + radius_mm), r.rows + r.margin - 1);
  const int left = std::max(r.at(x_mm - radius_mm), -r.margin);
  const int right = std::min(r.at(x_mm + radius_mm), r.columns + r.margin - 1);
  if (left > right) return false;
  for (int row = top; row <= bottom; ++row) {
    const std::uint32_t end = start_[r.index(right, row) + 1];
    for (std::uint32_t i = start_[r.index(left, row)]; i < end; ++i) {
      const double dx = spots_[i].x_mm() - x_mm, dy = spots_[i].y_mm() - y_mm;
      if (dx * dx + dy * dy <= radius_mm * radius_mm && wanted(spots_[i].report)) return true;
    }
  }
  return false;
}

}  // namespace paneproof
