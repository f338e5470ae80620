// A virtual touchscreen by the kernel's uinput, where the machine has it (/dev/uinput, and leave to use it);
// else nothing is tried here, and tests/analyzer/cli/sweep/device_test.mjs stands for it with a made-up
// kernel.
#include "capture/live/evdev.hpp"

#include <libevdev/libevdev-uinput.h>
#include <libevdev/libevdev.h>

#include <catch2/catch.hpp>
#include <memory>

#include "capture/bytes/source.hpp"
#include "capture/log/formats.hpp"
#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

struct Screen {
  Screen() {
    libevdev* shape = libevdev_new();
    libevdev_set_name(shape, "paneproof test screen");
    libevdev_enable_property(shape, INPUT_PROP_DIRECT);
    libevdev_enable_event_code(shape, EV_KEY, BTN_TOUCH, nullptr);
    for (const auto& [code, most, resolution] : {std::tuple{ABS_MT_SLOT, 9, 0},
                                                 {ABS_MT_TRACKING_ID, 65535, 0},
                                                 {ABS_MT_POSITION_X, 4095, 60},
                                                 {ABS_MT_POSITION_Y, 4095, 30}}) {
      input_absinfo axis{};
      axis.maximum = most;
      axis.resolution = resolution;
      libevdev_enable_event_code(shape, EV_ABS, static_cast<unsigned>(code), &axis);
    }
    if (libevdev_uinput_create_from_device(shape, LIBEVDEV_UINPUT_OPEN_MANAGED, &made) != 0) made = nullptr;
    libevdev_free(shape);
  }
  ~Screen() {
    if (made) libevdev_uinput_destroy(made);
  }
  Screen(const Screen&) = delete;
  Screen& operator=(const Screen&) = delete;
  std::string node() const { return libevdev_uinput_get_devnode(made); }
  void put(unsigned type, unsigned code, int value) const {
    libevdev_uinput_write_event(made, type, code, value);
  }
  // One touch of so many places.
  void touch(int id, int places) const {
    put(EV_ABS, ABS_MT_TRACKING_ID, id);
    for (int i = 0; i < places; ++i) {
      put(EV_ABS, ABS_MT_POSITION_X, 100 + 10 * i);
      put(EV_ABS, ABS_MT_POSITION_Y, 200 + 10 * i);
      put(EV_SYN, SYN_REPORT, 0);
    }
    put(EV_ABS, ABS_MT_TRACKING_ID, -1);
    put(EV_SYN, SYN_REPORT, 0);
  }
  libevdev_uinput* made = nullptr;
};

std::string lines_of(EvdevStream& stream, int calls) {
  std::string all;
  for (int i = 0; i < calls; ++i) all += stream.lines(50);
  return all;
}

}  // namespace

TEST_CASE("a virtual touchscreen is read, and survives being unplugged") {
  auto screen = std::make_unique<Screen>();
  if (!screen->made) {
    WARN("no uinput on this machine: nothing tried");
    return;
  }
  EvdevStream stream(screen->node());
  CHECK(stream.tells_size());
  std::string log = stream.description();
  screen->touch(1, 20);
  log += lines_of(stream, 4);
  screen = nullptr;
  log += lines_of(stream, 4);
  CHECK_FALSE(stream.plugged());
  screen = std::make_unique<Screen>();
  log += lines_of(stream, 8);
  CHECK(stream.plugged());
  screen->touch(2, 30);
  log += lines_of(stream, 4);
  Notes notes;
  const Recording recording = read_log(*memory_source("log", log), {}, notes);
  REQUIRE(recording.contacts.size() == 2);
  CHECK(recording.contacts[0].count == 20);
  CHECK(recording.contacts[1].count == 30);
  CHECK_FALSE(recording.holes.empty());
}

TEST_CASE("what is no touchscreen is refused") {
  CHECK_THROWS_AS(EvdevStream("/dev/null"), InputError);
  CHECK_THROWS_AS(EvdevStream("/dev/input/event999"), InputError);
}
