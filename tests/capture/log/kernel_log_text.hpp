// The same small kernel log in every format that holds kernel events, written by this test after the
// formats' own print statements (the sources stand in each reader's head). The real writers of these
// formats need a device node; where there is none, these stand in for them.
#pragma once

#include <linux/input.h>

#include <cstdio>
#include <string>
#include <vector>

#include "capture/log/evdev_codes.hpp"
#include "capture/log/kernel_contacts.hpp"
#include "kernel_feed.hpp"

namespace paneproof {

struct Frame {
  std::int64_t t_us;
  std::vector<std::pair<std::uint16_t, std::int32_t>> abs;
};

// Two contacts in slots; the second lifts before the end.
inline std::vector<Frame> small_log() {
  return {
      {12000345, {{ABS_MT_TRACKING_ID, 7}, {ABS_MT_POSITION_X, 100}, {ABS_MT_POSITION_Y, 200}}},
      {12008345,
       {{ABS_MT_POSITION_X, 104},
        {ABS_MT_SLOT, 1},
        {ABS_MT_TRACKING_ID, 8},
        {ABS_MT_POSITION_X, 900},
        {ABS_MT_POSITION_Y, 1000}}},
      {12016345, {{ABS_MT_POSITION_Y, 1010}, {ABS_MT_SLOT, 0}, {ABS_MT_POSITION_X, 108}}},
      {12024345, {{ABS_MT_SLOT, 1}, {ABS_MT_TRACKING_ID, -1}}},
      {13000001, {{ABS_MT_SLOT, 0}, {ABS_MT_POSITION_Y, 210}}},
  };
}

// What the first `frames` of the small log say.
inline std::string small_log_shown(std::size_t frames) {
  Bench bench;
  const std::vector<Frame> log = small_log();
  for (std::size_t i = 0; i < frames; ++i) {
    for (const auto& [code, value] : log[i].abs) bench.contacts.event(log[i].t_us, EV_ABS, code, value);
    bench.contacts.event(log[i].t_us, EV_SYN, SYN_REPORT, 0);
  }
  return bench.result();
}

using Writer = std::string (*)(std::int64_t t_us, std::uint16_t type, std::uint16_t code, std::int32_t value);

template <typename... Arguments>
std::string text(const char* format, Arguments... arguments) {
  char out[256];
  std::snprintf(out, sizeof out, format, arguments...);
  return out;
}

inline long seconds(std::int64_t t_us) { return static_cast<long>(t_us / 1000000); }
inline long micros(std::int64_t t_us) { return static_cast<long>(t_us % 1000000); }

inline std::string as_getevent_lt(std::int64_t t_us, std::uint16_t type, std::uint16_t code,
                                  std::int32_t value) {
  return text("[%8ld.%06ld] ", seconds(t_us), micros(t_us)) +
         text("%-12.12s", event_type_name(type).c_str()) +
         text(" %-20.20s", event_code_name(type, code).c_str()) +
         text(" %-20.20s", text("%08x", static_cast<unsigned>(value)).c_str()) + "\n";
}
inline std::string as_getevent_lt_column(std::int64_t t_us, std::uint16_t type, std::uint16_t code,
                                         std::int32_t value) {
  return text("[%8ld.%06ld] /dev/input/event2: ", seconds(t_us), micros(t_us)) +
         as_getevent_lt(t_us, type, code, value).substr(18);
}
inline std::string as_getevent_t(std::int64_t t_us, std::uint16_t type, std::uint16_t code,
                                 std::int32_t value) {
  return text("[%8ld.%06ld] %04x %04x %08x\n", seconds(t_us), micros(t_us), type, code,
              static_cast<unsigned>(value));
}
inline std::string as_evemu(std::int64_t t_us, std::uint16_t type, std::uint16_t code, std::int32_t value) {
  return text("E: %ld.%06ld %04x %04x %04d\t# a comment\n", seconds(t_us), micros(t_us), type, code, value);
}
inline std::string as_evtest(std::int64_t t_us, std::uint16_t type, std::uint16_t code, std::int32_t value) {
  const std::string time = text("Event: time %ld.%06ld, ", seconds(t_us), micros(t_us));
  const std::string name = event_code_name(type, code);
  if (type == EV_SYN) return time + text("-------------- %s ------------\n", name.c_str());
  return time + text("type %d (%s), code %d (%s), value %d\n", type, event_type_name(type).c_str(), code,
                     name.c_str(), value);
}
inline std::string as_record(std::size_t half, std::int64_t t_us, std::uint16_t type, std::uint16_t code,
                             std::int32_t value) {
  std::string out;
  const auto put = [&](std::uint64_t number, std::size_t bytes) {
    for (std::size_t i = 0; i < bytes; ++i) out += static_cast<char>(number >> (8 * i) & 0xff);
  };
  put(static_cast<std::uint64_t>(t_us / 1000000), half);
  put(static_cast<std::uint64_t>(t_us % 1000000), half);
  put(type, 2);
  put(code, 2);
  put(static_cast<std::uint32_t>(value), 4);
  return out;
}
inline std::string as_record_64(std::int64_t t_us, std::uint16_t type, std::uint16_t code,
                                std::int32_t value) {
  return as_record(8, t_us, type, code, value);
}
inline std::string as_record_32(std::int64_t t_us, std::uint16_t type, std::uint16_t code,
                                std::int32_t value) {
  return as_record(4, t_us, type, code, value);
}

struct Written {
  std::string bytes;
  std::vector<std::size_t> frame_ends;  // offsets after each frame's SYN_REPORT
  std::vector<std::size_t> syn_starts;  // offsets where it starts
};

inline Written written(Writer writer) {
  Written out;
  for (const Frame& frame : small_log()) {
    for (const auto& [code, value] : frame.abs) out.bytes += writer(frame.t_us, EV_ABS, code, value);
    out.syn_starts.push_back(out.bytes.size());
    out.bytes += writer(frame.t_us, EV_SYN, SYN_REPORT, 0);
    out.frame_ends.push_back(out.bytes.size());
  }
  return out;
}

struct KernelFormat {
  const char* name;    // of the layout
  const char* format;  // the reader's name
  Writer writer;
};
inline const KernelFormat kKernelFormats[] = {
    {"getevent -lt", "getevent", as_getevent_lt},
    {"getevent -lt with a device column", "getevent", as_getevent_lt_column},
    {"getevent -t", "getevent", as_getevent_t},
    {"evemu", "evemu", as_evemu},
    {"evtest", "evtest", as_evtest},
    {"24-byte records", "input_event", as_record_64},
    {"16-byte records", "input_event", as_record_32}};

}  // namespace paneproof
