#include "capture/model/panel_shape.hpp"

#include <catch2/catch.hpp>

using namespace paneproof;

namespace {

Axes axes(double x_max, double y_max) {
  Axes out;
  out.x = Axis{0, x_max, std::nullopt};
  out.y = Axis{0, y_max, std::nullopt};
  return out;
}

// The note on a panel of this size; "" where there is none.
std::string told(const Axes& of, double width_mm, double height_mm, int rotate_deg = 0) {
  PanelRequest request;
  request.width_mm = width_mm, request.height_mm = height_mm, request.rotate_deg = rotate_deg;
  Notes notes;
  note_doubtful_size(of, request, notes);
  return notes.all().empty() ? "" : notes.all().front().id + ": " + notes.all().front().text;
}

}  // namespace

TEST_CASE("a slip in the panel's size is asked about, with the side that the axes suggest") {
  const std::string note = told(axes(1080, 2255), 68, 242);
  CHECK(note.starts_with("size_in_doubt: "));
  CHECK(note.find("68 x 242 mm") != note.npos);
  CHECK(note.find("1080 x 2255 units") != note.npos);
  CHECK(note.find("height of 142 mm") != note.npos);
  CHECK_FALSE(told(axes(1080, 2255), 68, 42).empty());
  CHECK_FALSE(told(axes(2255, 1080), 68, 242, 90).empty());
  CHECK(told(axes(2255, 1080), 68, 142, 90).empty());
}

TEST_CASE("a range that --range tells has a shape too") {
  PanelRequest request;
  request.width_mm = 68, request.height_mm = 242, request.range_x = 1080, request.range_y = 2255;
  Notes notes;
  note_doubtful_size({}, request, notes);
  CHECK(notes.has("size_in_doubt"));
}

TEST_CASE("no device is accused whose units are not square") {
  CHECK(told(axes(799, 479), 154, 86).empty());      // pixels that are not quite square
  CHECK(told(axes(32767, 32767), 68, 142).empty());  // one range for both
  CHECK(told(axes(3920, 3700), 68, 142).empty());    // one range, trimmed
  CHECK(told(axes(16383, 9600), 276, 156).empty());
  CHECK(told(axes(4095, 32767), 217, 136).empty());  // each a range of its own digits
  CHECK(told(axes(10000, 1000), 217, 136).empty());
  CHECK(told(axes(1080, 2255), 68, 142).empty());
}

TEST_CASE("a side far from what the log's units/mm say is asked about, a little one is not") {
  Axes known = axes(1080, 2255);
  known.x->units_per_mm = known.y->units_per_mm = 16;
  CHECK(told(known, 68, 242).find("67.5 x 140.9 mm") != std::string::npos);
  CHECK_FALSE(told(known, 34, 71).empty());  // of the right shape, but half as large
  CHECK(told(known, 72, 150).empty());
}

TEST_CASE("axes in mm and a size by its diagonal have no other to compare") {
  Axes in_mm;
  in_mm.in_mm = true;
  CHECK(told(in_mm, 68, 242).empty());
  PanelRequest by_diagonal;
  by_diagonal.diagonal_mm = 155;
  Notes notes;
  note_doubtful_size(axes(1080, 2255), by_diagonal, notes);
  CHECK(notes.all().empty());
}
