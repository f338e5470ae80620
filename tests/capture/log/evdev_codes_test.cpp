// Against libevdev's own table of names (Debian libevdev2).
#include "capture/log/evdev_codes.hpp"

#include <libevdev/libevdev.h>

#include <catch2/catch.hpp>

using namespace paneproof;

TEST_CASE("every listed name has the number that libevdev gives it") {
  std::size_t checked = 0;
  for (const EvdevName& type : event_types()) {
    CAPTURE(type.name);
    CHECK(libevdev_event_type_from_name(type.name) == type.number);
    CHECK(event_type_number(type.name) == type.number);
    for (const EvdevName& code : event_codes(type.number)) {
      CAPTURE(code.name);
      CHECK(libevdev_event_code_from_name(type.number, code.name) == code.number);
      CHECK(event_code_number(type.number, code.name) == code.number);
      CHECK(event_code_name(type.number, code.number) ==
            libevdev_event_code_get_name(type.number, code.number));
      ++checked;
    }
  }
  CHECK(checked > 70);
  for (const EvdevName& property : properties()) {
    CHECK(libevdev_property_from_name(property.name) == property.number);
    CHECK(property_number(property.name) == property.number);
  }
}

TEST_CASE("every EV_ABS, EV_SYN and EV_MSC code that libevdev names is listed") {
  for (const unsigned type : {EV_SYN, EV_ABS, EV_MSC})
    for (int code = 0; code < libevdev_event_type_get_max(type); ++code) {
      const char* name = libevdev_event_code_get_name(type, static_cast<unsigned>(code));
      if (!name) continue;
      CAPTURE(name);
      CHECK(event_code_number(static_cast<std::uint16_t>(type), name) == code);
    }
}

TEST_CASE("an unknown name has no number, an unknown number a hexadecimal name") {
  CHECK_FALSE(event_code_number(EV_ABS, "ABS_NONSENSE"));
  CHECK_FALSE(event_code_number(EV_SYN, "ABS_X"));
  CHECK_FALSE(event_type_number("EV_NONSENSE"));
  CHECK(event_code_name(EV_ABS, 0x3f) == "0x003f");
}
