#include "analyzer/measure/crosses.hpp"

#include <catch2/catch.hpp>
#include <functional>

#include "tests/analyzer/measure/points.hpp"

namespace paneproof {
namespace {

// The one region of the places where `dead` holds, on a panel of 70 x 140 mm.
struct Drawn {
  Raster raster;
  Regions regions;
  explicit Drawn(const std::function<bool(double, double)>& dead) {
    raster = raster_over(panel_of(70, 140));
    std::vector<std::uint8_t> mask(raster.size(), 0);
    for (int row = 0; row < raster.rows; ++row)
      for (int column = 0; column < raster.columns; ++column)
        mask[raster.index(column, row)] = dead(raster.centre_mm(column), raster.centre_mm(row));
    regions = regions_of(mask, raster.stride(), raster.height(), 0);
  }
  std::optional<Cross> cross() const { return cross_of(regions, 1, raster); }
};

bool within(double v, double from, double to) { return v >= from && v <= to; }

}  // namespace

TEST_CASE("a dead column and a dead row that cross are told apart, each where it lies") {
  const double x = GENERATE(0.0, 25.0, 58.0), y = GENERATE(0.0, 60.0, 128.0);
  INFO("column at " << x << ", row at " << y);
  const auto cross =
      Drawn([&](double px, double py) { return within(px, x, x + 9) || within(py, y, y + 12); }).cross();
  REQUIRE(cross);
  CHECK(cross->column.x0 == Approx(x).margin(0.5));
  CHECK(cross->column.x1 == Approx(x + 9).margin(0.5));
  CHECK(cross->column.height() == Approx(140).margin(0.5));
  CHECK(cross->row.y0 == Approx(y).margin(0.5));
  CHECK(cross->row.y1 == Approx(y + 12).margin(0.5));
  CHECK(cross->row.width() == Approx(70).margin(0.5));
}

TEST_CASE("a line, an area, a disc and a small star are no cross") {
  CHECK_FALSE(Drawn([](double x, double) { return within(x, 20, 29); }).cross());
  CHECK_FALSE(Drawn([](double x, double y) { return within(x, 20, 55) && within(y, 40, 90); }).cross());
  CHECK_FALSE(
      Drawn([](double x, double y) { return (x - 35) * (x - 35) + (y - 70) * (y - 70) < 400; }).cross());
  CHECK_FALSE(Drawn([](double x, double y) {
                return (within(x, 30, 34) && within(y, 60, 74)) || (within(x, 25, 39) && within(y, 65, 69));
              }).cross());
}

}  // namespace paneproof
