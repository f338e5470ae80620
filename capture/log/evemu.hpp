// evemu recordings, 1.0 to 1.3: a description (N: I: P: B: A: lines, absent in events-only files) and
// events. Comments start with #.
//
// `E: %lu.%06u %04x %04x %04d`: type and code hexadecimal, the value decimal even with leading zeros.
// `A: code min max fuzz flat [resolution]`: the code hexadecimal, the resolution from 1.1 on. `P:` and
// `B: type` lines hold eight bytes of a bit set each, in order. (evemu.c and the README of evemu.)
#pragma once

#include <array>
#include <string_view>

#include "capture/log/event_lines.hpp"
#include "capture/log/reader.hpp"

namespace paneproof {

const Format& evemu_format();

LineKind parse_evemu_line(std::string_view line, KernelEvent& event);

// The description; device "" of the log.
class EvemuDescription {
 public:
  explicit EvemuDescription(KernelDevices& devices) : devices_(devices) {}
  // Was the line a part of a description?
  bool line(std::string_view line);

 private:
  void bits(std::string_view bytes, bool properties);
  void axis(std::string_view fields);

  KernelDevices& devices_;
  std::array<std::uint32_t, 32> bytes_of_type_ = {};
  std::uint32_t property_bytes_ = 0;
};

}  // namespace paneproof
