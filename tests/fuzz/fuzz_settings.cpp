// A panel profile, and a limits file, on any bytes: values within their bounds or one line.
#include <cmath>

#include "analyzer/verdict/limits.hpp"
#include "capture/log/panel_profile.hpp"
#include "tests/fuzz/expect.hpp"

using namespace paneproof;

namespace {

void read_profile(std::string_view bytes) {
  const auto source = memory_source("fuzz", bytes, {.largest_bytes = 1 << 20});
  const PanelRequest request = read_panel_profile(*source);
  for (const auto& length : {request.width_mm, request.height_mm, request.range_x, request.range_y})
    expect(!length || (*length > 0 && std::isfinite(*length)), "sizes and ranges are above 0");
  expect(request.rim_mm >= 0 && request.corner_radius_mm >= 0, "rim and corners are not below 0");
  expect(request.rotate_deg % 90 == 0, "a quarter turn at a time");
  for (const MaskShape& shape : request.mask)
    expect(shape.width_mm >= 0 && shape.height_mm >= 0 && std::isfinite(shape.x_mm + shape.y_mm),
           "masks have a place and a size");
}

void read_limits(std::string_view bytes) {
  for (const LimitLine& line : limit_lines(parse_limits(bytes, "fuzz")))
    expect(line.value > 0 && std::isfinite(line.value), "limits are above 0");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
  for (const auto read : {read_profile, read_limits}) try {
      read(text(data, size));
    } catch (const InputError& error) {
      expect_sound(error);
    }
  return 0;
}
