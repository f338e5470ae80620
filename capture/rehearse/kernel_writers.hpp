// Kernel events in the formats that recording tools write: Android getevent, evtest, evemu,
// libinput record, and raw input_event structs. Times start at `start_us` on the log's clock.
#pragma once

#include <string>
#include <vector>

#include "capture/rehearse/kernel_events.hpp"

namespace paneproof {

struct GeteventStyle {
  bool names = true;           // -l: names; else numbers
  bool header = true;          // the device list of -p or -lp first
  bool device_column = false;  // the node before each event, as without a device argument
};

std::string write_getevent(const DeviceFacts& device, const std::vector<KernelEvent>& events,
                           const GeteventStyle& style, std::int64_t start_us);
std::string write_evtest(const DeviceFacts& device, const std::vector<KernelEvent>& events,
                         std::int64_t start_us);
// Version 1.3, with description.
std::string write_evemu(const DeviceFacts& device, const std::vector<KernelEvent>& events,
                        std::int64_t start_us);
std::string write_libinput_record(const DeviceFacts& device, const std::vector<KernelEvent>& events,
                                  std::int64_t start_us);
// Little endian; wide: 24-byte records of 64-bit systems, else the 16-byte ones.
std::string write_input_events(const std::vector<KernelEvent>& events, bool wide, std::int64_t start_us);

}  // namespace paneproof
