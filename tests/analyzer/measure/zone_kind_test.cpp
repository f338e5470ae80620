#include "analyzer/measure/zone_kind.hpp"

#include <catch2/catch.hpp>

namespace paneproof {
namespace {

DeadZone told(Box box, const Sides& living = {}, bool intermittent = false) {
  Panel panel;
  panel.width_mm = 68, panel.height_mm = 142;
  DeadZone zone;
  zone.intermittent = intermittent;
  tell_kind(zone, box, panel, living);
  return zone;
}

}  // namespace

TEST_CASE("from side to side is a line, whichever way it runs") {
  CHECK(told({30, 0, 40, 142}).kind == ZoneKind::line);
  CHECK(told({30, 0, 40, 142}).along == Along::column);
  CHECK(told({0, 60, 68, 70}).kind == ZoneKind::line);
  CHECK(told({0, 60, 68, 70}).along == Along::row);
}

TEST_CASE("from a side to the middle is part of a line") {
  CHECK(told({30, 0, 42, 60}).kind == ZoneKind::partial_line);
  CHECK(told({0, 60, 30, 72}).along == Along::row);
}

TEST_CASE("four fifths of a line are a part of it, unless it works now and then") {
  CHECK(told({30, 0, 40, 114}).kind == ZoneKind::partial_line);
  CHECK(told({30, 0, 40, 114}, {}, true).kind == ZoneKind::line);
}

TEST_CASE("along a side with a living strip outside it is a line, no edge band") {
  Sides living{};
  living[static_cast<std::size_t>(Side::left)] = true;
  CHECK(told({2, 0, 14, 142}, living).kind == ZoneKind::line);
  CHECK(told({2, 0, 14, 142}).kind == ZoneKind::edge_band);
}

TEST_CASE("along three fifths of a side is part of a line, no edge band") {
  CHECK(told({0, 5, 8, 90}).kind == ZoneKind::partial_line);
}

TEST_CASE("what leaps lengthen is no line") {
  // 18 mm long as rows leapt it, 12 mm high as rows lie apart: about as wide as high.
  Panel panel;
  panel.width_mm = 68, panel.height_mm = 142;
  const Box box{0, 60, 24, 72};
  DeadZone zone;
  tell_kind(zone, box, panel, {}, Along::row);
  CHECK(zone.kind == ZoneKind::area);
  tell_kind(zone, box, panel, {}, Along::column);
  CHECK(zone.kind == ZoneKind::partial_line);
}

TEST_CASE("shallow along one side is an edge band, as wide as high an area") {
  CHECK(told({0, 5, 8, 140}).kind == ZoneKind::edge_band);
  CHECK(told({25, 60, 41, 76}).kind == ZoneKind::area);
}

}  // namespace paneproof
