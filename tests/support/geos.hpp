// GEOS, an independent geometry library, as the tests use it: point sets, rectangles, areas. Any error
// of GEOS fails the test that asked.
#pragma once

#include <geos_c.h>

#include <catch2/catch.hpp>
#include <memory>
#include <utility>
#include <vector>

namespace paneproof {

class Geos {
 public:
  using Shape = std::unique_ptr<GEOSGeometry, void (*)(GEOSGeometry*)>;

  Geos() { initGEOS(quiet, quiet); }
  ~Geos() { finishGEOS(); }
  Geos(const Geos&) = delete;
  Geos& operator=(const Geos&) = delete;

  Shape points(const std::vector<std::pair<double, double>>& places) const {
    std::vector<GEOSGeometry*> each;
    for (const auto& [x, y] : places) each.push_back(GEOSGeom_createPointFromXY(x, y));
    return own(GEOSGeom_createCollection(GEOS_MULTIPOINT, each.data(), static_cast<unsigned>(each.size())));
  }

  Shape rectangle(double x0, double y0, double x1, double y1) const {
    GEOSCoordSequence* ring = GEOSCoordSeq_create(5, 2);
    const double x[] = {x0, x1, x1, x0, x0}, y[] = {y0, y0, y1, y1, y0};
    for (unsigned i = 0; i < 5; ++i) GEOSCoordSeq_setXY(ring, i, x[i], y[i]);
    return own(GEOSGeom_createPolygon(GEOSGeom_createLinearRing(ring), nullptr, 0));
  }

  // Discs as polygons of 4 x quarter_segments corners.
  Shape discs(const GEOSGeometry* places, double radius, int quarter_segments) const {
    return own(GEOSBuffer(places, radius, quarter_segments));
  }
  Shape both(const GEOSGeometry* a, const GEOSGeometry* b) const { return own(GEOSIntersection(a, b)); }
  Shape without(const GEOSGeometry* a, const GEOSGeometry* b) const { return own(GEOSDifference(a, b)); }

  double area(const GEOSGeometry* shape) const {
    double value = 0;
    REQUIRE(GEOSArea(shape, &value) == 1);
    return value;
  }
  double length(const GEOSGeometry* shape) const {
    double value = 0;
    REQUIRE(GEOSLength(shape, &value) == 1);
    return value;
  }

  // Radius of the largest circle that holds no place, its centre inside `bounds` (a convex shape).
  double largest_empty_radius(const GEOSGeometry* places, const GEOSGeometry* bounds,
                              double tolerance) const {
    const Shape radius_line = own(GEOSLargestEmptyCircle(places, bounds, tolerance));
    return length(radius_line.get());
  }

 private:
  static void quiet(const char*, ...) {}
  static Shape own(GEOSGeometry* shape) {
    REQUIRE(shape != nullptr);
    return {shape, GEOSGeom_destroy};
  }
};

}  // namespace paneproof
