#include "capture/model/panel.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "capture/model/input_error.hpp"
#include "capture/model/trace.hpp"

using namespace paneproof;

namespace {

Axes axes(double x_max, double y_max, std::optional<double> x_res = {}, std::optional<double> y_res = {}) {
  Axes out;
  out.x = Axis{0, x_max, x_res};
  out.y = Axis{0, y_max, y_res};
  out.origin = "log";
  return out;
}

Recording recording(const Axes& of, const std::vector<std::pair<double, double>>& places) {
  RecordingBuilder builder;
  const std::uint32_t contact = builder.land();
  std::int64_t t_us = 0;
  for (const auto& [x, y] : places) builder.report(contact, t_us += 8000, x, y);
  SourceFacts source;
  source.file = "test.log";
  return std::move(builder).finish(of, source);
}

PanelRequest size(double width_mm, double height_mm) {
  PanelRequest request;
  request.width_mm = width_mm;
  request.height_mm = height_mm;
  return request;
}

Exit exit_of(Recording of, const PanelRequest& request) {
  Notes notes;
  try {
    scale(std::move(of), request, notes);
  } catch (const InputError& error) {
    return error.exit;
  }
  return Exit::pass;
}

}  // namespace

TEST_CASE("mm are (v - min) / (max - min) x size, in whole micrometres") {
  Notes notes;
  Axes offset = axes(1100, 2000);
  offset.x->min = 100;
  const Trace trace = scale(recording(offset, {{100, 0}, {1100, 2000}, {433, 667}}), size(60, 120), notes);
  CHECK(trace.reports[0].x == 0.0);
  CHECK(trace.reports[1].x == 60.0);
  CHECK(trace.reports[1].y == 120.0);
  CHECK(trace.reports[2].x == 19.98);
  CHECK(trace.reports[2].y == 40.02);
  CHECK(trace.panel.size_origin == "--panel");
  CHECK(notes.all().empty());
}

TEST_CASE("turning is clockwise and comes before the size") {
  // A point near the top left goes to the top right at 90, the bottom right at 180, the bottom left at 270.
  const std::pair<double, double> near{100, 200};
  const auto at = [&](int degrees, double width, double height) {
    PanelRequest request = size(width, height);
    request.rotate_deg = degrees;
    Notes notes;
    const Trace trace = scale(recording(axes(1000, 2000), {near}), request, notes);
    return std::pair{trace.reports[0].x, trace.reports[0].y};
  };
  CHECK(at(0, 50, 100) == std::pair{5.0, 10.0});
  CHECK(at(90, 100, 50) == std::pair{90.0, 5.0});
  CHECK(at(180, 50, 100) == std::pair{45.0, 90.0});
  CHECK(at(270, 100, 50) == std::pair{10.0, 45.0});
}

TEST_CASE("four turns by 90 degrees bring every place back") {
  for (double x = 0; x <= 1000; x += 125)
    for (double y = 0; y <= 1000; y += 125) {
      double u = x, v = y;
      for (int turn = 0; turn < 4; ++turn) {
        PanelRequest request = size(1000, 1000);
        request.rotate_deg = 90;
        Notes notes;
        const Trace trace = scale(recording(axes(1000, 1000), {{u, v}}), request, notes);
        u = trace.reports[0].x;
        v = trace.reports[0].y;
      }
      CHECK(u == x);
      CHECK(v == y);
    }
}

TEST_CASE("the log's units/mm give the size; --panel wins and a difference over 2 % is noted") {
  const Axes told = axes(6000, 12000, 100, 100);
  Notes notes;
  CHECK(scale(recording(told, {{1, 1}}), {}, notes).panel.width_mm == 60.0);
  CHECK(scale(recording(told, {{1, 1}}), size(60.9, 121), notes).panel.width_mm == 60.9);
  CHECK_FALSE(notes.has("size_differs"));
  CHECK(scale(recording(told, {{1, 1}}), size(62, 120), notes).panel.width_mm == 62.0);
  CHECK(notes.has("size_differs"));
}

TEST_CASE("the log's size is turned with the panel") {
  PanelRequest request;
  request.rotate_deg = 90;
  Notes notes;
  const Trace trace = scale(recording(axes(6000, 12000, 100, 100), {{1, 1}}), request, notes);
  CHECK(trace.panel.width_mm == 120.0);
  CHECK(trace.panel.height_mm == 60.0);
}

TEST_CASE("a diagonal needs the shape: square units, different maxima with a note, or --aspect") {
  PanelRequest request;
  request.diagonal_mm = 50;
  Notes notes;
  Axes square = axes(3000, 4000);
  square.square_units = true;
  CHECK(scale(recording(square, {{1, 1}}), request, notes).panel.width_mm == 30.0);
  CHECK_FALSE(notes.has("taken_as_square"));
  CHECK(scale(recording(axes(3000, 4000), {{1, 1}}), request, notes).panel.height_mm == 40.0);
  CHECK(notes.has("taken_as_square"));
  CHECK(exit_of(recording(axes(32767, 32767), {{1, 1}}), request) == Exit::bad_data);
  request.aspect = 0.75;
  CHECK(scale(recording(axes(32767, 32767), {{1, 1}}), request, notes).panel.width_mm == 30.0);
  request.aspect.reset();
  request.rotate_deg = 270;
  CHECK(scale(recording(square, {{1, 1}}), request, notes).panel.width_mm == 40.0);
}

TEST_CASE("--range gives missing axes, and a log that has its own keeps them with a note") {
  PanelRequest request = size(54, 117);
  request.range_x = 1080;
  request.range_y = 2340;
  Notes notes;
  CHECK(scale(recording({}, {{540, 1170}}), request, notes).reports[0].x == 27.0);
  CHECK_FALSE(notes.has("range_unused"));
  CHECK(scale(recording(axes(540, 2340), {{540, 1170}}), request, notes).reports[0].x == 54.0);
  CHECK(notes.has("range_unused"));
}

TEST_CASE("positions that are mm already need the size only, and turn with the panel") {
  Axes mm;
  mm.in_mm = true;
  Notes notes;
  const Trace trace = scale(recording(mm, {{12.345, 119.999}}), size(60, 120), notes);
  CHECK(trace.reports[0].x == 12.345);
  CHECK(trace.reports[0].y == 119.999);
  PanelRequest turned = size(120, 60);
  turned.rotate_deg = 90;
  const Trace sideways = scale(recording(mm, {{10, 20}}), turned, notes);
  CHECK(sideways.reports[0].x == 100.0);
  CHECK(sideways.reports[0].y == 10.0);
  CHECK(exit_of(recording(mm, {{1, 1}}), {}) == Exit::bad_data);
}

TEST_CASE("an unknown size, an unknown axis and senseless sizes are refused") {
  CHECK(exit_of(recording(axes(1000, 2000), {{1, 1}}), {}) == Exit::bad_data);
  CHECK(exit_of(recording({}, {{1, 1}}), size(60, 120)) == Exit::bad_data);
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  for (const double bad : {9.9, 2001.0, 0.0, -60.0, nan, inf}) {
    CAPTURE(bad);
    CHECK(exit_of(recording(axes(1000, 2000), {{1, 1}}), size(bad, 120)) == Exit::bad_data);
    CHECK(exit_of(recording(axes(1000, 2000), {{1, 1}}), size(60, bad)) == Exit::bad_data);
    PanelRequest request = size(60, 120);
    request.range_x = bad == 9.9 || bad == 2001.0 ? nan : bad;
    CHECK(exit_of(recording({}, {{1, 1}}), request) == Exit::bad_data);
  }
}

TEST_CASE("width and height in each other's place are refused where the axes show it, and only there") {
  const Recording portrait = recording(axes(1080, 2340), {{10, 10}});
  CHECK(exit_of(portrait, size(68, 142)) == Exit::pass);
  CHECK(exit_of(portrait, size(142, 68)) == Exit::bad_data);
  PanelRequest turned = size(142, 68);
  turned.rotate_deg = 90;
  CHECK(exit_of(portrait, turned) == Exit::pass);
  turned.width_mm = 68, turned.height_mm = 142;
  CHECK(exit_of(portrait, turned) == Exit::bad_data);
  CHECK(exit_of(recording(axes(4095, 4095), {{10, 10}}), size(142, 68)) ==
        Exit::pass);  // one range tells no shape
  CHECK(exit_of(recording(axes(1000, 1200), {{10, 10}}), size(120, 100)) ==
        Exit::pass);  // too near a square to be sure
  CHECK(exit_of(recording(axes(1366, 768), {{10, 10}}), size(200, 150)) ==
        Exit::pass);  // units that are not square
}

TEST_CASE("more than 5 % of the reports beyond the axes are refused with the largest value") {
  std::vector<std::pair<double, double>> places;
  for (int i = 0; i < 95; ++i) places.push_back({i, i});
  for (int i = 0; i < 5; ++i) places.push_back({2000 + i, 5});
  CHECK(exit_of(recording(axes(1000, 2000), places), size(60, 120)) == Exit::pass);
  places.push_back({5000, 5});
  Notes notes;
  try {
    scale(recording(axes(1000, 2000), places), size(60, 120), notes);
    FAIL("not refused");
  } catch (const InputError& error) {
    CHECK(error.expected.find("x 5000") != std::string::npos);
  }
}

TEST_CASE("the judged area leaves out rim, rounded corners and masks") {
  Panel panel;
  panel.width_mm = 60;
  panel.height_mm = 120;
  panel.rim_mm = 1;
  panel.corner_radius_mm = 10;
  panel.mask = {{MaskShape::Kind::rectangle, 20, 0, 20, 5, "notch"},
                {MaskShape::Kind::circle, 30, 60, 4, 4, "camera"}};
  CHECK(panel.judged(30, 30));
  CHECK_FALSE(panel.judged(0.5, 30));
  CHECK_FALSE(panel.judged(30, 119.5));
  CHECK_FALSE(panel.judged(2, 2));  // 11.3 mm from the corner's centre (10, 10)
  CHECK(panel.judged(4, 4));        // 8.5 mm
  CHECK_FALSE(panel.judged(58, 118));
  CHECK_FALSE(panel.judged(30, 4));
  CHECK(panel.judged(19, 4));
  CHECK_FALSE(panel.judged(31.9, 60));
  CHECK(panel.judged(32.1, 60));
  CHECK_FALSE(panel.judged(std::numeric_limits<double>::quiet_NaN(), 60));
}
