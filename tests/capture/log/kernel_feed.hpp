// Kernel events in short notation for tests: feed(contacts, t_us, "SLOT 0, ID 7, X 100, Y 200").
#pragma once

#include <linux/input.h>

#include <catch2/catch.hpp>
#include <sstream>
#include <string>

#include "capture/log/kernel_contacts.hpp"

namespace paneproof {

// One frame's events at t_us, without its SYN_REPORT.
inline void part(KernelContacts& contacts, std::int64_t t_us, const std::string& events) {
  std::istringstream list(events);
  std::string one;
  while (std::getline(list, one, ',')) {
    std::istringstream words(one);
    std::string name;
    std::int64_t value = 0;
    if (!(words >> name)) continue;
    words >> value;
    const auto abs = [&](std::uint16_t code) {
      contacts.event(t_us, EV_ABS, code, static_cast<std::int32_t>(value));
    };
    const auto key = [&](std::uint16_t code) {
      contacts.event(t_us, EV_KEY, code, static_cast<std::int32_t>(value));
    };
    if (name == "SLOT")
      abs(ABS_MT_SLOT);
    else if (name == "ID")
      abs(ABS_MT_TRACKING_ID);
    else if (name == "X")
      abs(ABS_MT_POSITION_X);
    else if (name == "Y")
      abs(ABS_MT_POSITION_Y);
    else if (name == "DISTANCE")
      abs(ABS_MT_DISTANCE);
    else if (name == "TOOL")
      abs(ABS_MT_TOOL_TYPE);
    else if (name == "SX")
      abs(ABS_X);
    else if (name == "SY")
      abs(ABS_Y);
    else if (name == "SDISTANCE")
      abs(ABS_DISTANCE);
    else if (name == "SPRESSURE")
      abs(ABS_PRESSURE);
    else if (name == "TOUCH")
      key(BTN_TOUCH);
    else if (name == "PEN")
      key(BTN_TOOL_PEN);
    else if (name == "STAMP")
      contacts.event(t_us, EV_MSC, MSC_TIMESTAMP, static_cast<std::int32_t>(value));
    else if (name == "MT")
      contacts.event(t_us, EV_SYN, SYN_MT_REPORT, 0);
    else if (name == "DROPPED")
      contacts.event(t_us, EV_SYN, SYN_DROPPED, 0);
    else
      FAIL("no such event in the notation: " << name);
  }
}

// A whole frame.
inline void feed(KernelContacts& contacts, std::int64_t t_us, const std::string& events) {
  part(contacts, t_us, events);
  contacts.event(t_us, EV_SYN, SYN_REPORT, 0);
}

// A device's contacts with their end, as text: "0:(100,200)@0(100,210)@8000 lifted".
inline std::string shown(const Recording& recording) {
  std::ostringstream out;
  const char* endings[] = {"lifted", "cancelled", "broken", "open"};
  const char* tools[] = {"", " pen", " palm"};
  for (std::size_t i = 0; i < recording.contacts.size(); ++i) {
    const Contact& contact = recording.contacts[i];
    out << (i ? "; " : "");
    for (std::uint32_t k = contact.first; k < contact.first + contact.count; ++k)
      out << "(" << recording.reports[k].x << "," << recording.reports[k].y << ")@"
          << recording.reports[k].t_us << " ";
    out << endings[static_cast<int>(contact.ending)] << tools[static_cast<int>(contact.tool)];
  }
  return out.str();
}

struct Bench {
  DeviceDescription device;
  std::optional<Axes> fallback;
  KernelContacts contacts{device, fallback};
  Notes notes;

  std::string result() { return shown(std::move(contacts).finish({}, {}, notes)); }
  Recording recording() { return std::move(contacts).finish({}, {}, notes); }
};

}  // namespace paneproof
