#include "capture/log/panel_profile.hpp"

#include <catch2/catch.hpp>

#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

PanelRequest read(const std::string& text) {
  const auto source = memory_source("shelf.panel", text);
  return read_panel_profile(*source);
}

// "place: message" of the refusal.
std::string refusal(const std::string& text) {
  try {
    read(text);
  } catch (const InputError& error) {
    CHECK(error.exit == Exit::bad_data);
    return error.place + ": " + error.expected;
  }
  return "not refused";
}

}  // namespace

TEST_CASE("every name of a profile is read, comments and blanks are not") {
  const PanelRequest request = read(
      "# shelf scanner, 6 inch\n"
      "width_mm = 68.4\r\n"
      "  height_mm=142   # glass\n"
      "\n"
      "range_x = 1080\nrange_y = 2340\nrotate_deg = 270\nrim_mm = 1.5\ncorner_radius_mm = 6\n"
      "mask = rectangle 20 0 28.4 5 notch for the speaker\n"
      "mask = circle 34.2 12.5 4 camera\n");
  CHECK(request.width_mm == 68.4);
  CHECK(request.height_mm == 142);
  CHECK(request.size_origin == "profile shelf.panel");
  CHECK(request.range_x == 1080);
  CHECK(request.range_y == 2340);
  CHECK(request.rotate_deg == 270);
  CHECK(request.rim_mm == 1.5);
  CHECK(request.corner_radius_mm == 6);
  REQUIRE(request.mask.size() == 2);
  CHECK(request.mask[0].kind == MaskShape::Kind::rectangle);
  CHECK(request.mask[0].width_mm == 28.4);
  CHECK(request.mask[0].height_mm == 5);
  CHECK(request.mask[0].name == "notch for the speaker");
  CHECK(request.mask[1].kind == MaskShape::Kind::circle);
  CHECK(request.mask[1].width_mm == 4);
  CHECK(request.mask[1].height_mm == 4);
}

TEST_CASE("an empty profile says nothing") {
  const PanelRequest request = read("# nothing\n");
  CHECK_FALSE(request.width_mm);
  CHECK(request.size_origin.empty());
}

TEST_CASE("what is wrong is told with its line, its column and a caret") {
  CHECK(refusal("\nwidth = 3\n").find("line 2, column 1: expected one of width_mm") == 0);
  CHECK(refusal("width_mm 68\n").find("line 1, column 10: expected =: width_mm ^68") == 0);
  CHECK(refusal("width_mm = 68x\n")
            .find("line 1, column 12: expected a number from 10 to 2000: width_mm = ^68x") == 0);
  CHECK(refusal("width_mm = \n").find("line 1, column 12") == 0);
  CHECK(refusal("rotate_deg = 45\n").find("line 1, column 14: expected 0, 90, 180 or 270") == 0);
  CHECK(refusal("rim_mm = 1 2\n").find("line 1, column 12: expected the end") == 0);
  CHECK(refusal("mask = oval 1 2 3 x\n").find("line 1, column 8: expected rectangle or circle") == 0);
  CHECK(refusal("mask = circle 1 2 3\n").find("line 1, column 20: expected a name") == 0);
  CHECK(refusal("rim_mm = 1\nrim_mm = 2\n").find("line 2, column 1: expected each name once") == 0);
  CHECK(refusal("width_mm = 68\n").find("both width_mm and height_mm") != std::string::npos);
}

TEST_CASE("numbers that are none never pass") {
  for (const char* number : {"nan", "inf", "-inf", "1e999", "", "0x10", "--1", "1,5"}) {
    CAPTURE(number);
    CHECK(refusal("width_mm = " + std::string(number) + "\nheight_mm = 100\n").find("expected a number") !=
          std::string::npos);
    CHECK(refusal("mask = circle " + std::string(number) + " 1 1 x\n") != "not refused");
  }
}
