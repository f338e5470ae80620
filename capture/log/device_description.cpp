#include "capture/log/device_description.hpp"

#include <linux/input.h>

namespace paneproof {
namespace {

std::optional<Axis> axis(const DeviceDescription& device, std::uint16_t code) {
  const auto found = device.ranges.find(code);
  if (found == device.ranges.end() || found->second.max <= found->second.min) return std::nullopt;
  Axis out{static_cast<double>(found->second.min), static_cast<double>(found->second.max), std::nullopt};
  if (found->second.resolution > 0) out.units_per_mm = static_cast<double>(found->second.resolution);
  return out;
}

bool is_pen_tool(std::uint16_t code) { return code >= BTN_TOOL_PEN && code <= BTN_TOOL_AIRBRUSH; }

}  // namespace

void DeviceDescription::add_code(std::uint16_t type, std::uint16_t code) {
  if (type == EV_ABS && code < 64) abs |= std::uint64_t{1} << code;
  if (type == EV_REL && code <= REL_Y) relative = true;
  if (type == EV_KEY) {
    left_button = left_button || code == BTN_LEFT;
    touch_button = touch_button || code == BTN_TOUCH;
    tool_finger = tool_finger || code == BTN_TOOL_FINGER;
    tool_pen = tool_pen || is_pen_tool(code);
  }
  described = true;
}

void DeviceDescription::add_property(std::uint16_t property) {
  if (property < 32) properties |= std::uint32_t{1} << property;
}

void DeviceDescription::add_range(std::uint16_t abs_code, const Range& range) {
  if (abs_code >= 64) return;
  add_code(EV_ABS, abs_code);
  ranges[abs_code] = range;
}

bool DeviceDescription::has_touch_axes() const {
  return (has_abs(ABS_MT_POSITION_X) && has_abs(ABS_MT_POSITION_Y)) || (has_abs(ABS_X) && has_abs(ABS_Y));
}

std::string DeviceDescription::title() const {
  return !name.empty() ? name : !node.empty() ? node : "the device";
}

bool DeviceDescription::answers_to(const std::string& device) const {
  if (device.empty()) return false;
  if (device == name || device == node) return true;
  const std::size_t slash = node.rfind('/');
  return slash != std::string::npos && node.compare(slash + 1, std::string::npos, device) == 0;
}

DeviceKind kind_of(const DeviceDescription& device) {
  if (device.has_property(INPUT_PROP_POINTER))
    return device.relative ? DeviceKind::mouse : DeviceKind::touchpad;
  const bool multi_touch = device.has_abs(ABS_MT_POSITION_X);
  if (device.has_property(INPUT_PROP_DIRECT))
    return device.tool_pen && !multi_touch ? DeviceKind::pen : DeviceKind::touchscreen;
  if (!device.described) return DeviceKind::unknown;
  if (device.relative && !device.touch_button && !multi_touch)
    return device.listed && !device.left_button ? DeviceKind::other : DeviceKind::mouse;
  if (device.tool_finger && device.left_button) return DeviceKind::touchpad;
  if (device.tool_pen && !multi_touch) return DeviceKind::pen;
  if (multi_touch || (device.has_abs(ABS_X) && device.touch_button)) return DeviceKind::touchscreen;
  return DeviceKind::other;
}

const char* kind_word(DeviceKind kind) {
  switch (kind) {
    case DeviceKind::touchscreen:
      return "touchscreen";
    case DeviceKind::pen:
      return "pen digitizer";
    case DeviceKind::touchpad:
      return "touchpad";
    case DeviceKind::mouse:
      return "mouse";
    case DeviceKind::unknown:
    case DeviceKind::other:
      break;
  }
  return "device without touch";
}

Axes axes_of(const DeviceDescription& device, const std::string& origin) {
  Axes out;
  out.x = axis(device, ABS_MT_POSITION_X);
  out.y = axis(device, ABS_MT_POSITION_Y);
  if (!out.x && !out.y) {
    out.x = axis(device, ABS_X);
    out.y = axis(device, ABS_Y);
  }
  if (out.x || out.y) out.origin = origin;
  out.square_units = out.x && out.y && out.x->units_per_mm && out.x->units_per_mm == out.y->units_per_mm;
  return out;
}

const DeviceDescription* covering(const std::vector<const DeviceDescription*>& devices,
                                  std::uint64_t abs_codes) {
  const DeviceDescription* found = nullptr;
  for (const DeviceDescription* device : devices) {
    const DeviceKind kind = kind_of(*device);
    if (kind != DeviceKind::touchscreen && kind != DeviceKind::pen) continue;
    if (!device->has_touch_axes() || (abs_codes & ~device->abs) != 0) continue;
    if (found) return nullptr;
    found = device;
  }
  return found;
}

}  // namespace paneproof
