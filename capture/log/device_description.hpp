// What a log's header (or a companion file) tells of an input device: name, node, what it can send, the
// ranges of its axes. From it follow the device's kind and its axes.
//
// Kind: INPUT_PROP_DIRECT is a screen and INPUT_PROP_POINTER a touchpad (kernel event-codes.rst,
// "Device properties"). Old kernels tell neither: then BTN_TOOL_FINGER with BTN_LEFT is a touchpad, as
// input_mt_init_slots sets both up for INPUT_MT_POINTER (drivers/input/input-mt.c).
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "capture/model/panel.hpp"

namespace paneproof {

enum class DeviceKind { unknown, touchscreen, pen, touchpad, mouse, other };

struct DeviceDescription {
  struct Range {
    std::int64_t min = 0, max = 0, resolution = 0;  // resolution in units/mm, 0 unknown
  };

  std::string node, name;        // "/dev/input/event4"; "" when not told
  bool described = false;        // were any codes listed or sent?
  bool listed = false;           // does a header list them (an absence means something)?
  std::uint32_t properties = 0;  // bit set
  std::uint64_t abs = 0;         // bit set of EV_ABS codes
  bool relative = false, left_button = false, touch_button = false, tool_finger = false, tool_pen = false;
  std::map<std::uint16_t, Range> ranges;  // by EV_ABS code

  // The device can send this (a header says so, or it did). Other codes than those above are ignored.
  void add_code(std::uint16_t type, std::uint16_t code);
  void add_property(std::uint16_t property);
  void add_range(std::uint16_t abs_code, const Range& range);

  bool has_abs(std::uint16_t code) const { return code < 64 && (abs >> code & 1) != 0; }
  bool has_property(std::uint16_t property) const {
    return property < 32 && (properties >> property & 1) != 0;
  }
  bool has_touch_axes() const;
  // The name, else the node, else "the device"; for messages.
  std::string title() const;
  // Is this the device the user means: by name, by node, or by the node's last part ("event4")?
  bool answers_to(const std::string& device) const;
};

DeviceKind kind_of(const DeviceDescription& device);
const char* kind_word(DeviceKind kind);  // "touchpad"

// Ranges of the multi-touch position axes, else of ABS_X and ABS_Y; an axis whose range is empty is not
// known. `origin` goes into Axes when an axis is known.
Axes axes_of(const DeviceDescription& device, const std::string& origin);

// The one device that a log with these EV_ABS codes can have come from: a screen or a pen with axes that
// lists all the codes. Null when none or more than one does.
const DeviceDescription* covering(const std::vector<const DeviceDescription*>& devices,
                                  std::uint64_t abs_codes);

}  // namespace paneproof
