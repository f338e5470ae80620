// A file for --axes on any bytes, which stand for the log's first bytes too: axes or one line.
#include "capture/log/formats.hpp"
#include "tests/fuzz/expect.hpp"

using namespace paneproof;

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
  const std::string_view bytes = text(data, size);
  for (const char* device : {"", "event1"}) try {
      const auto source = memory_source("fuzz", bytes, {.largest_bytes = 1 << 20});
      const Axes axes = read_axes(*source, device, bytes);
      expect(axes.x && axes.y, "both axes are told");
      expect(axes.x->max > axes.x->min && axes.y->max > axes.y->min, "an axis has a range");
    } catch (const InputError& error) {
      expect_sound(error);
    }
  return 0;
}
