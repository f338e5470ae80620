// Layout after evtest 1.35 (Debian); it runs on a device node only, so its output is written here by hand.
#include "capture/log/evtest.hpp"

#include <catch2/catch.hpp>

#include "capture/log/formats.hpp"
#include "kernel_log_text.hpp"

using namespace paneproof;

TEST_CASE("the header gives name, kind and axes") {
  const std::string log =
      "Input driver version is 1.0.1\n"
      "Input device ID: bus 0x18 vendor 0x0 product 0x0 version 0x0\n"
      "Input device name: \"bench glass\"\n"
      "Supported events:\n"
      "  Event type 0 (EV_SYN)\n"
      "  Event type 1 (EV_KEY)\n"
      "    Event code 330 (BTN_TOUCH)\n"
      "  Event type 3 (EV_ABS)\n"
      "    Event code 47 (ABS_MT_SLOT)\n"
      "      Value      0\n"
      "      Min        0\n"
      "      Max        9\n"
      "    Event code 53 (ABS_MT_POSITION_X)\n"
      "      Value      0\n"
      "      Min        0\n"
      "      Max     1079\n"
      "      Resolution      16\n"
      "    Event code 54 (ABS_MT_POSITION_Y)\n"
      "      Value      0\n"
      "      Min       10\n"
      "      Max     2339\n"
      "      Resolution      16\n"
      "Properties:\n"
      "  Property type 1 (INPUT_PROP_DIRECT)\n"
      "Testing ... (interrupt to exit)\n" +
      written(as_evtest).bytes;
  const auto source = memory_source("test", log);
  Notes notes;
  const Recording recording = read_log(*source, {}, notes);
  CHECK(shown(recording) == small_log_shown(5));
  CHECK(recording.source.device == "bench glass");
  REQUIRE(recording.axes.x);
  CHECK(recording.axes.x->max == 1079);
  CHECK(recording.axes.y->min == 10);
  CHECK(recording.axes.y->units_per_mm == 16);
  CHECK(notes.all().empty());
}

TEST_CASE("all SYN layouts and the hexadecimal MSC values are read") {
  KernelEvent event;
  CHECK(parse_evtest_line("Event: time 1.000002, ++++++++++++++ SYN_MT_REPORT ++++++++++++", event) ==
        LineKind::event);
  CHECK(event.code == SYN_MT_REPORT);
  CHECK(parse_evtest_line("Event: time 1.000002, >>>>>>>>>>>>>> SYN_DROPPED <<<<<<<<<<<<", event) ==
        LineKind::event);
  CHECK(event.code == SYN_DROPPED);
  CHECK(parse_evtest_line("Event: time 1.000002, -------------- Report Sync ------------", event) ==
        LineKind::event);
  CHECK(event.code == SYN_REPORT);
  CHECK(parse_evtest_line("Event: time 1.000002, type 4 (EV_MSC), code 4 (MSC_SCAN), value 7009f", event) ==
        LineKind::event);
  CHECK(parse_evtest_line("Event: time 1.000002, type 3 (EV_ABS), code 53 (ABS_MT_POSITION_X), value -7",
                          event) == LineKind::event);
  CHECK(event.value == -7);
  CHECK(event.t_us == 1000002);
  CHECK(parse_evtest_line("Event: time 1.000002, type 3 (EV_ABS), code 53", event) == LineKind::damaged);
  CHECK(parse_evtest_line("Testing ... (interrupt to exit)", event) == LineKind::other);
}
