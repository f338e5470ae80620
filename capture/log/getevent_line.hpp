// One line of Android's getevent: an event, or a part of its device list (getevent -p, -lp).
//
// Event (AOSP toolbox/getevent.c): `[%8ld.%06ld] ` with -t, the device's node with a colon unless one was
// asked for, then type, code and value: hexadecimal `%04x %04x %08x`, or with -l names padded to 12 and 20
// with the value as a label (DOWN, UP) or `%08x`. Releases before 2012 wrote the time as `%ld-%ld: `
// (from memory).
#pragma once

#include <string_view>

#include "capture/log/event_lines.hpp"

namespace paneproof {

struct GeteventLine {
  std::string_view node;  // "" without the device column; lies in the line
  KernelEvent event;
};

// Any layout; unknown names give kUnlisted. The out value is only whole for event and untimed.
LineKind parse_getevent_line(std::string_view line, GeteventLine& out);

// The device list: fills the descriptions. line() says whether the line was a part of it.
class GeteventDevices {
 public:
  explicit GeteventDevices(KernelDevices& devices) : devices_(devices) {}
  bool line(std::string_view line);

 private:
  enum class Section { none, facts, events, properties };

  void events(std::string_view line);
  void codes(std::string_view line);
  void property(std::string_view line);

  KernelDevices& devices_;
  std::size_t device_ = 0;
  Section section_ = Section::none;
  std::uint16_t type_ = 0;
};

}  // namespace paneproof
