#include "capture/log/evemu.hpp"

#include <catch2/catch.hpp>

#include "capture/log/formats.hpp"
#include "kernel_log_text.hpp"

using namespace paneproof;

namespace {

Recording read(const std::string& text) {
  const auto source = memory_source("test", text);
  Notes notes;
  return read_log(*source, {}, notes);
}

}  // namespace

TEST_CASE("values are decimal even with leading zeros, codes hexadecimal") {
  KernelEvent event;
  CHECK(parse_evemu_line("E: 0.000001 0003 0035 0010\t# EV_ABS / ABS_MT_POSITION_X 10", event) ==
        LineKind::event);
  CHECK(event.code == 0x35);
  CHECK(event.value == 10);
  CHECK(parse_evemu_line("E: 12.500000 0003 0039 -001", event) == LineKind::event);
  CHECK(event.value == -1);
  CHECK(event.t_us == 12500000);
  CHECK(parse_evemu_line("E: 0.000001 0003 0035", event) == LineKind::damaged);
  CHECK(parse_evemu_line("E: 0.000001 0003 0035 1x", event) == LineKind::damaged);
  CHECK(parse_evemu_line("E: -1.000001 0003 0035 1", event) == LineKind::damaged);
  CHECK(parse_evemu_line("E: 0.000001 0003 0035 99999999999", event) == LineKind::damaged);
}

TEST_CASE("axes have five or six fields; bit sets go on from line to line") {
  const std::string start =
      "# EVEMU 1.2\nN: bench glass\nI: 0018 0000 0000 0000\nP: 02 00 00 00 00 00 00 00\n";
  const Recording six = read(start + "A: 35 0 1279 0 0 20\nA: 36 -1 767 0 0 21\n" + written(as_evemu).bytes);
  CHECK(six.source.device == "bench glass");
  CHECK(six.axes.x->units_per_mm == 20);
  CHECK(six.axes.y->min == -1);
  CHECK_FALSE(six.axes.square_units);
  const Recording five = read(start + "A: 35 0 1279 0 0\nA: 36 0 767 0 0\n" + written(as_evemu).bytes);
  CHECK(five.axes.x->max == 1279);
  CHECK_FALSE(five.axes.x->units_per_mm);
}

TEST_CASE("a property byte of a later line is no property of the first") {
  // Bit 0 of the second line is property 64, which names nothing: no touchpad.
  const std::string log =
      "P: 00 00 00 00 00 00 00 00\nP: 01 00 00 00 00 00 00 00\nA: 35 0 9 0 0\nA: 36 0 9 0 0\nA: 2f 0 9 0 0\n";
  CHECK(read(log + written(as_evemu).bytes).contacts.size() == 2);
}
