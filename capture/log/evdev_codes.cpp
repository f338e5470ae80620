#include "capture/log/evdev_codes.hpp"

#include <linux/input.h>

#include <cstdio>

namespace paneproof {
namespace {

using Table = std::vector<EvdevName>;

#define N(name) \
  { #name, name }

const Table kTypes = {N(EV_SYN), N(EV_KEY), N(EV_REL), N(EV_ABS), N(EV_MSC), N(EV_SW),
                      N(EV_LED), N(EV_SND), N(EV_REP), N(EV_FF),  N(EV_PWR), N(EV_FF_STATUS)};
const Table kSyn = {N(SYN_REPORT), N(SYN_CONFIG), N(SYN_MT_REPORT), N(SYN_DROPPED)};
const Table kKey = {N(BTN_LEFT),        N(BTN_RIGHT),          N(BTN_MIDDLE),         N(BTN_SIDE),
                    N(BTN_EXTRA),       N(BTN_TOOL_PEN),       N(BTN_TOOL_RUBBER),    N(BTN_TOOL_BRUSH),
                    N(BTN_TOOL_PENCIL), N(BTN_TOOL_AIRBRUSH),  N(BTN_TOOL_FINGER),    N(BTN_TOOL_MOUSE),
                    N(BTN_TOOL_LENS),   N(BTN_TOOL_QUINTTAP),  N(BTN_STYLUS),         N(BTN_STYLUS2),
                    N(BTN_TOUCH),       N(BTN_TOOL_DOUBLETAP), N(BTN_TOOL_TRIPLETAP), N(BTN_TOOL_QUADTAP)};
const Table kRel = {N(REL_X),  N(REL_Y),      N(REL_Z),    N(REL_RX),    N(REL_RY),
                    N(REL_RZ), N(REL_HWHEEL), N(REL_DIAL), N(REL_WHEEL), N(REL_MISC)};
const Table kAbs = {N(ABS_X),
                    N(ABS_Y),
                    N(ABS_Z),
                    N(ABS_RX),
                    N(ABS_RY),
                    N(ABS_RZ),
                    N(ABS_THROTTLE),
                    N(ABS_RUDDER),
                    N(ABS_WHEEL),
                    N(ABS_GAS),
                    N(ABS_BRAKE),
                    N(ABS_HAT0X),
                    N(ABS_HAT0Y),
                    N(ABS_HAT1X),
                    N(ABS_HAT1Y),
                    N(ABS_HAT2X),
                    N(ABS_HAT2Y),
                    N(ABS_HAT3X),
                    N(ABS_HAT3Y),
                    N(ABS_PRESSURE),
                    N(ABS_DISTANCE),
                    N(ABS_TILT_X),
                    N(ABS_TILT_Y),
                    N(ABS_TOOL_WIDTH),
                    N(ABS_VOLUME),
                    N(ABS_MISC),
                    N(ABS_RESERVED),
                    N(ABS_MT_SLOT),
                    N(ABS_MT_TOUCH_MAJOR),
                    N(ABS_MT_TOUCH_MINOR),
                    N(ABS_MT_WIDTH_MAJOR),
                    N(ABS_MT_WIDTH_MINOR),
                    N(ABS_MT_ORIENTATION),
                    N(ABS_MT_POSITION_X),
                    N(ABS_MT_POSITION_Y),
                    N(ABS_MT_TOOL_TYPE),
                    N(ABS_MT_BLOB_ID),
                    N(ABS_MT_TRACKING_ID),
                    N(ABS_MT_PRESSURE),
                    N(ABS_MT_DISTANCE),
                    N(ABS_MT_TOOL_X),
                    N(ABS_MT_TOOL_Y)};
const Table kMsc = {N(MSC_SERIAL), N(MSC_PULSELED), N(MSC_GESTURE),
                    N(MSC_RAW),    N(MSC_SCAN),     N(MSC_TIMESTAMP)};
const Table kProperties = {N(INPUT_PROP_POINTER),      N(INPUT_PROP_DIRECT),
                           N(INPUT_PROP_BUTTONPAD),    N(INPUT_PROP_SEMI_MT),
                           N(INPUT_PROP_TOPBUTTONPAD), N(INPUT_PROP_POINTING_STICK),
                           N(INPUT_PROP_ACCELEROMETER)};
const Table kTools = {N(MT_TOOL_FINGER), N(MT_TOOL_PEN), N(MT_TOOL_PALM), N(MT_TOOL_DIAL)};
const Table kNone;

#undef N

std::optional<std::uint16_t> number_in(const Table& table, std::string_view name) {
  for (const EvdevName& row : table)
    if (name == row.name) return row.number;
  return std::nullopt;
}

std::string name_in(const Table& table, std::uint16_t number) {
  for (const EvdevName& row : table)
    if (number == row.number) return row.name;
  char text[8];
  std::snprintf(text, sizeof text, "0x%04x", number);
  return text;
}

}  // namespace

const std::vector<EvdevName>& event_codes(std::uint16_t type) {
  switch (type) {
    case EV_SYN:
      return kSyn;
    case EV_KEY:
      return kKey;
    case EV_REL:
      return kRel;
    case EV_ABS:
      return kAbs;
    case EV_MSC:
      return kMsc;
    default:
      return kNone;
  }
}

const std::vector<EvdevName>& event_types() { return kTypes; }
const std::vector<EvdevName>& properties() { return kProperties; }

std::optional<std::uint16_t> event_type_number(std::string_view name) { return number_in(kTypes, name); }
std::optional<std::uint16_t> event_code_number(std::uint16_t type, std::string_view name) {
  return number_in(event_codes(type), name);
}
std::string event_code_name(std::uint16_t type, std::uint16_t code) {
  return name_in(event_codes(type), code);
}
std::string event_type_name(std::uint16_t type) { return name_in(kTypes, type); }
std::optional<std::uint16_t> property_number(std::string_view name) { return number_in(kProperties, name); }
std::optional<std::uint16_t> tool_type_number(std::string_view name) { return number_in(kTools, name); }

}  // namespace paneproof
