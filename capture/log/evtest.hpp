// evtest's text: the device's header, then events.
//
// `Event: time S.UUUUUU, type 3 (EV_ABS), code 53 (ABS_MT_POSITION_X), value 2002`, all decimal but the
// values of MSC_RAW and MSC_SCAN; SYN events as `-------------- SYN_REPORT ------------`, with + signs for
// SYN_MT_REPORT and angles for SYN_DROPPED. Seen in evtest 1.35's strings and posted logs; versions before
// 1.26 wrote "Report Sync" and the like (from memory).
#pragma once

#include <string_view>

#include "capture/log/event_lines.hpp"
#include "capture/log/reader.hpp"

namespace paneproof {

const Format& evtest_format();

LineKind parse_evtest_line(std::string_view line, KernelEvent& event);

// The header: `Event type 3 (EV_ABS)` over `Event code 0 (ABS_X)` over `Min 0`; device "" of the log.
class EvtestHeader {
 public:
  explicit EvtestHeader(KernelDevices& devices) : devices_(devices) {}
  bool line(std::string_view line);

 private:
  bool bound(std::string_view word, std::int64_t value);

  KernelDevices& devices_;
  std::uint16_t type_ = kUnlisted, code_ = 0;
  DeviceDescription::Range range_;
};

}  // namespace paneproof
