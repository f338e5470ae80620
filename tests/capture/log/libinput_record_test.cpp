// Source: libinput-record(1) of Debian's libinput-tools 1.22.1, "FILE FORMAT". No public recording of a
// touchscreen is at hand, and recording one needs a kernel that can make an input device (uinput), which
// a build machine need not have; so the sample is written after that page and the tool's own line formats
// (event lines are `- [%3lu, %6u, %3d, %3d, %7d] # ...`).
#include "capture/log/libinput_record.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdio>

#include "tests/capture/log/read_text.hpp"

using namespace paneproof;
using namespace paneproof::testing;

namespace {

Reading read(const std::string& text, const std::string& device = "") {
  ReadOptions options;
  options.device = device;
  return read_text(libinput_record_format(), text, options);
}
std::string refused(const std::string& text) { return refusal(libinput_record_format(), text); }

std::string event(int t_us, int type, int code, int value) {
  char line[120];
  std::snprintf(line, sizeof line, "    - [%3d, %6d, %3d, %3d, %7d] # a comment: with colon\n",
                t_us / 1000000, t_us % 1000000, type, code, value);
  return line;
}

const std::string kHead =
    "# libinput record\nversion: 1\nndevices: 1\nlibinput:\n  version: \"1.22.1\"\n  git: \"unknown\"\n"
    "system:\n  os: \"debian:12\"\n  kernel: \"6.1.0\"\n  dmi: \"dmi:bvn\"\ndevices:\n";

// A device with slots; properties: [1] is a screen, [0, 2] a touchpad.
std::string device(const std::string& node, const std::string& name, const std::string& properties) {
  return "- node: " + node + "\n  evdev:\n    # Name: " + name + "\n    # Size in mm: 100x150\n    name: \"" +
         name +
         "\"\n    id: [24, 1, 2, 3]\n    codes:\n      0: [0, 1, 2, 3] # EV_SYN\n      1: [330] # EV_KEY\n"
         "      3: [0, 1, 47, 53, 54, 57] # EV_ABS\n    absinfo:\n      0: [0, 1000, 0, 0, 10]\n      1: [0, "
         "1500, 0, 0, 10]\n"
         "      47: [0, 9, 0, 0, 0]\n      53: [0, 1000, 0, 0, 10]\n      54: [0, 1500, 0, 0, 10]\n"
         "      57: [0, 65535, 0, 0, 0]\n    properties: [" +
         properties +
         "]\n  hid: [5, 13, 9, 4]\n  udev:\n"
         "    properties:\n    - ID_INPUT=1\n    - ID_INPUT_TOUCHSCREEN=1\n  quirks:\n  some-new-key: {a: "
         "[1, {b: 2}]}\n  events:\n";
}

std::string frame(int t_us, int x, bool land = false) {
  return "  - evdev:\n" +
         (land ? event(t_us, 3, 57, 5) + event(t_us, 3, 54, 700) + event(t_us, 1, 330, 1) : "") +
         event(t_us, 3, 53, x) + "    - [  0, " + std::to_string(t_us) +
         ",   0,   0,       0] # ------------ SYN_REPORT (0) ---------- +8ms\n";
}

std::string screen() { return device("/dev/input/event9", "Bench Screen", "1"); }

}  // namespace

TEST_CASE("a recording gives its device, axes and contacts") {
  const std::string text = kHead + screen() + "  - hid:\n      time: [  0, 1]\n      hidraw0: [1, 2, 3]\n" +
                           frame(0, 100, true) + frame(11879, 110) + frame(23000, 125);
  CHECK(libinput_record_format().recognises(text));
  const auto got = read(text).recording;
  REQUIRE(got.reports.size() == 3);
  CHECK(got.reports[1].t_us == 11879);
  CHECK(got.reports[2].x == 125);
  CHECK(got.reports[2].y == 700);
  REQUIRE(got.axes.x.has_value());
  CHECK(got.axes.x->max == 1000);
  CHECK(got.axes.y->units_per_mm == 10);
  CHECK(got.source.device == "Bench Screen");
}

// "RECORDING MULTIPLE DEVICES": further devices stand after the first one's events.
TEST_CASE("of several devices the touchscreen is read, and --device chooses between two") {
  const std::string pad =
      device("/dev/input/event4", "Bench Pad", "0, 2") + frame(5, 900, true) + frame(9, 910);
  const std::string one = screen() + frame(100, 1, true) + frame(200, 2);
  const std::string two = device("/dev/input/event7", "Second Screen", "1") + frame(100, 300, true);
  CHECK(read(kHead + pad + one).recording.reports[0].x == 1);
  CHECK(holds(refused(kHead + one + two), "--device"));
  CHECK(read(kHead + one + two, "Second Screen").recording.reports[0].x == 300);
  CHECK(read(kHead + one + two, "event7").recording.reports[0].x == 300);
}

TEST_CASE("a touchpad is refused by name") {
  const std::string text = kHead + device("/dev/input/event4", "Bench Pad", "0, 2") + frame(5, 900, true);
  CHECK(holds(refused(text), "Bench Pad"));
  CHECK(holds(refused(text), "touchpad"));
}

TEST_CASE("lost events break the contact") {
  const auto got = read(kHead + screen() + frame(0, 100, true) + "  - evdev:\n" + event(8000, 0, 3, 0) +
                        event(9000, 0, 0, 0) + frame(16000, 300, true))
                       .recording;
  REQUIRE(got.contacts.size() == 2);
  CHECK(got.contacts[0].ending == Ending::broken);
}

TEST_CASE("bad recordings give one clear line with its place") {
  const std::string good = kHead + screen() + frame(0, 100, true);
  CHECK(holds(refused(good + "  - evdev:\n    - [0, 1, 3, x, 5]\n"), "a whole number, not x"));
  CHECK(holds(refused(good + "  - evdev:\n    - [0, 1, 3, 5]\n"), "[sec, usec, type, code, value]"));
  CHECK(holds(refused(good + "  - evdev:\n    - [-1, 1, 3, 53, 5]\n"), "a time from 0"));
  CHECK(holds(refused(good + "  - evdev:\n    - [0, 1, 3, 53, 99999999999]\n"), "32 bits"));
  CHECK(holds(refused(good + "  - evdev:\n    - [0, 1, 70000, 53, 9]\n"), "a code"));
  CHECK(holds(refused(good + "  - evdev: [[[}\n" + frame(9, 1)), "expected YAML"));
  CHECK(holds(refused(kHead), "no device"));
  CHECK(holds(refused(kHead + screen()), "no events in this log"));
  std::string deep = kHead + "- x: ";
  for (int i = 0; i < 100; ++i) deep += "[";
  CHECK(holds(refused(deep), "32 deep"));
  CHECK(holds(refused(kHead + "- x: \"" + std::string(4 << 20, 'y') + "\"\n"), "at most 1 MiB"));
}

TEST_CASE("a recording cut at any byte counts its whole frames") {
  const std::string text = kHead + screen() + frame(0, 100, true) + frame(11879, 110) + frame(23000, 125);
  CHECK(cut_that_breaks(libinput_record_format(), text, [&](const std::string& beginning) {
          // A frame is whole when its SYN_REPORT's list is closed.
          std::size_t whole = 0;
          for (const char* mark : {"[  0, 0,   0,   0,       0]", "[  0, 11879,   0,   0,       0]",
                                   "[  0, 23000,   0,   0,       0]"})
            whole += beginning.find(mark) != std::string::npos;
          return whole;
        }) == -1);
  CHECK(read(text.substr(0, text.size() - 70)).notes.has("cut_at_end"));
}

TEST_CASE("bytes that are no UTF-8 are refused with their line") {
  const std::string text = kHead + screen() + frame(0, 100, true) + "  - evdev: \xff\n" + frame(8000, 200);
  const std::string before = text.substr(0, text.find('\xff'));
  const std::string line = "line " + std::to_string(1 + std::count(before.begin(), before.end(), '\n'));
  CHECK(holds(refused(text), line));
}

// The parser looks ahead as far as it is given bytes; what comes after the recording is none of it.
TEST_CASE("what follows the end of the YAML document does not count") {
  const std::string text = kHead + screen() + frame(0, 100, true) + frame(8000, 200) + "...\n";
  CHECK(read(text + "\xff\n").recording.reports.size() == 2);
}
