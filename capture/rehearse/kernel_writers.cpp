#include "capture/rehearse/kernel_writers.hpp"

#include <linux/input.h>

#include <algorithm>
#include <cstdio>

#include "capture/log/evdev_codes.hpp"

namespace paneproof {
namespace {

constexpr const char* node = "/dev/input/event2";

template <class... Values>
void put(std::string& out, const char* format, Values... values) {
  char line[256];
  const int length = std::snprintf(line, sizeof line, format, values...);
  out.append(line, static_cast<std::size_t>(std::clamp(length, 0, static_cast<int>(sizeof line) - 1)));
}

struct Clock {
  long long s, us;
};
Clock clock_of(std::int64_t t_us, std::int64_t start_us) {
  const std::int64_t t = t_us + start_us;
  return {t / 1000000, t % 1000000};
}

bool is_syn(const KernelEvent& e, std::uint16_t code) { return e.type == EV_SYN && e.code == code; }

// As `getevent -p` (numbers) or -lp (names) prints it.
void put_getevent_device(std::string& out, const DeviceFacts& device, bool names) {
  put(out, "add device 1: %s\n  name:     \"%s\"\n  events:\n", node, device.name.c_str());
  out += names ? "    KEY (0001): BTN_TOUCH            \n" : "    KEY (0001): 014a \n";
  bool first = true;
  for (const DeviceAxis& axis : device.axes) {
    out += first ? "    ABS (0003): " : "                ";
    first = false;
    if (names)
      put(out, "%-20.20s ", event_code_name(EV_ABS, axis.code).c_str());
    else
      put(out, "%04x ", axis.code);
    put(out, " : value 0, min %d, max %d, fuzz 0, flat 0, resolution %d\n", axis.min, axis.max,
        axis.resolution);
  }
  out += "  input props:\n    ";
  out += names ? "INPUT_PROP_DIRECT\n" : "0001\n";
}

std::string getevent_value(const KernelEvent& e) {
  if (e.type == EV_KEY) return e.value ? "DOWN" : "UP";
  char hex[12];
  std::snprintf(hex, sizeof hex, "%08x", static_cast<unsigned>(e.value));
  return hex;
}

}  // namespace

std::string write_getevent(const DeviceFacts& device, const std::vector<KernelEvent>& events,
                           const GeteventStyle& style, std::int64_t start_us) {
  std::string out;
  if (style.header) put_getevent_device(out, device, style.names);
  for (const KernelEvent& e : events) {
    const Clock t = clock_of(e.t_us, start_us);
    put(out, "[%8lld.%06lld] ", t.s, t.us);
    if (style.device_column) put(out, "%s: ", node);
    if (style.names)
      put(out, "%-12.12s %-20.20s %-20.20s\n", event_type_name(e.type).c_str(),
          event_code_name(e.type, e.code).c_str(), getevent_value(e).c_str());
    else
      put(out, "%04x %04x %08x\n", e.type, e.code, static_cast<unsigned>(e.value));
  }
  return out;
}

std::string write_evtest(const DeviceFacts& device, const std::vector<KernelEvent>& events,
                         std::int64_t start_us) {
  std::string out =
      "Input driver version is 1.0.1\nInput device ID: bus 0x18 vendor 0x0 product 0x0 version 0x0\n";
  put(out, "Input device name: \"%s\"\nSupported events:\n  Event type 0 (EV_SYN)\n", device.name.c_str());
  out += "  Event type 1 (EV_KEY)\n    Event code 330 (BTN_TOUCH)\n  Event type 3 (EV_ABS)\n";
  for (const DeviceAxis& axis : device.axes) {
    put(out, "    Event code %d (%s)\n      Value      0\n      Min   %6d\n      Max   %6d\n", axis.code,
        event_code_name(EV_ABS, axis.code).c_str(), axis.min, axis.max);
    if (axis.resolution) put(out, "      Resolution  %6d\n", axis.resolution);
  }
  out += "Properties:\n  Property type 1 (INPUT_PROP_DIRECT)\nTesting ... (interrupt to exit)\n";
  for (const KernelEvent& e : events) {
    const Clock t = clock_of(e.t_us, start_us);
    put(out, "Event: time %lld.%06lld, ", t.s, t.us);
    if (is_syn(e, SYN_REPORT))
      out += "-------------- SYN_REPORT ------------\n";
    else if (is_syn(e, SYN_MT_REPORT))
      out += "++++++++++++++ SYN_MT_REPORT ++++++++++++\n";
    else
      put(out, "type %d (%s), code %d (%s), value %d\n", e.type, event_type_name(e.type).c_str(), e.code,
          event_code_name(e.type, e.code).c_str(), e.value);
  }
  return out;
}

std::string write_evemu(const DeviceFacts& device, const std::vector<KernelEvent>& events,
                        std::int64_t start_us) {
  std::string out = "# EVEMU 1.3\n";
  put(out, "N: %s\nI: 0018 0000 0000 0000\nP: 02 00 00 00 00 00 00 00\n", device.name.c_str());
  const auto bits = [&](int type, int bytes, const std::vector<int>& set) {
    for (int from = 0; from < bytes; from += 8) {
      put(out, "B: %02x", type);
      for (int byte = from; byte < from + 8; ++byte) {
        unsigned value = 0;
        for (const int code : set)
          if (code / 8 == byte) value |= 1u << (code % 8);
        put(out, " %02x", value);
      }
      out += "\n";
    }
  };
  std::vector<int> abs;
  for (const DeviceAxis& axis : device.axes) abs.push_back(axis.code);
  bits(0, 8, {EV_SYN, EV_KEY, EV_ABS});
  bits(EV_KEY, 96, {BTN_TOUCH});
  bits(EV_ABS, 8, abs);
  for (const DeviceAxis& axis : device.axes)
    put(out, "A: %02x %d %d 0 0 %d\n", axis.code, axis.min, axis.max, axis.resolution);
  for (const KernelEvent& e : events) {
    const Clock t = clock_of(e.t_us, start_us);
    put(out, "E: %lld.%06lld %04x %04x %04d\n", t.s, t.us, e.type, e.code, e.value);
  }
  return out;
}

std::string write_libinput_record(const DeviceFacts& device, const std::vector<KernelEvent>& events,
                                  std::int64_t start_us) {
  std::string out = "# libinput record\nversion: 1\nndevices: 1\ndevices:\n";
  put(out, "- node: %s\n  evdev:\n    name: \"%s\"\n    id: [24, 0, 0, 0]\n    codes:\n", node,
      device.name.c_str());
  out += "      0: [0, 2]\n      1: [330]\n      3: [";
  for (std::size_t k = 0; k < device.axes.size(); ++k) put(out, k ? ", %d" : "%d", device.axes[k].code);
  out += "]\n    absinfo:\n";
  for (const DeviceAxis& axis : device.axes)
    put(out, "      %d: [%d, %d, 0, 0, %d]\n", axis.code, axis.min, axis.max, axis.resolution);
  out += "    properties: [1]\n  events:\n";
  bool fresh = true;
  for (const KernelEvent& e : events) {
    if (fresh) out += "  - evdev:\n";
    const Clock t = clock_of(e.t_us, start_us);
    put(out, "    - [%3lld, %6lld, %3d, %3d, %7d]\n", t.s, t.us, e.type, e.code, e.value);
    fresh = is_syn(e, SYN_REPORT);
  }
  return out;
}

std::string write_input_events(const std::vector<KernelEvent>& events, bool wide, std::int64_t start_us) {
  std::string out;
  const auto number = [&](std::uint64_t value, int bytes) {
    for (int k = 0; k < bytes; ++k) out += static_cast<char>(value >> (8 * k) & 0xff);
  };
  for (const KernelEvent& e : events) {
    const Clock t = clock_of(e.t_us, start_us);
    number(static_cast<std::uint64_t>(t.s), wide ? 8 : 4);
    number(static_cast<std::uint64_t>(t.us), wide ? 8 : 4);
    number(e.type, 2);
    number(e.code, 2);
    number(static_cast<std::uint32_t>(e.value), 4);
  }
  return out;
}

}  // namespace paneproof
