// A recording as the kernel would have sent it: the input events of a touchscreen driver, by protocol B
// (slots) or A (packets), after Documentation/input/multi-touch-protocol.rst.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "capture/model/trace.hpp"

namespace paneproof {

struct KernelEvent {
  std::int64_t t_us = 0;
  std::uint16_t type = 0, code = 0;
  std::int32_t value = 0;
};

enum class MtProtocol {
  slots,         // B: only changes are sent, -1 lifts
  packets,       // A with tracking ids: all contacts in each frame
  bare_packets,  // A without ids
};

// One axis of the device, as its description tells it.
struct DeviceAxis {
  std::uint16_t code = 0;
  std::int32_t min = 0, max = 0, resolution = 0;
};

struct DeviceFacts {
  std::string name;
  std::vector<DeviceAxis> axes;  // in order of code
};

// The device that sends the events of a recording. Positions are whole numbers; axes must be known.
DeviceFacts device_facts(const Recording& recording, MtProtocol protocol);

// All events in order of time. lift_us: when each contact ended (an open one never does); not before
// its last report. A palm's contact is told by MT_TOOL_PALM. Slots are the lowest free ones; a slot that
// is freed is used again from the next frame on.
std::vector<KernelEvent> kernel_events(const Recording& recording, const std::vector<std::int64_t>& lift_us,
                                       MtProtocol protocol);

}  // namespace paneproof
