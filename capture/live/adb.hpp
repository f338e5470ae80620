// The stock adb as a source: it is asked for the touchscreen, its axes and the screen's density, and streams
// `getevent -lt` of it. Nothing is installed on the device.
#pragma once

#include <optional>
#include <string>
#include <utility>

namespace paneproof {

struct AdbScreen {
  std::string node;     // /dev/input/event2
  std::string listing;  // its part of `getevent -lp`: name and axes, as the reader takes it
  // From pixels and density, where the axes do not tell their units/mm; the system rounds densities to
  // classes, so this is near, not exact.
  std::optional<std::pair<double, double>> panel_mm;
};

// Asks the device of that serial, "" for the only one. Throws InputError (66) with adb's own words when there
// is no adb, no device, or no touchscreen, and (65) when there are several touchscreens.
AdbScreen ask_adb(const std::string& serial);

class AdbStream {
 public:
  AdbStream(const std::string& serial, const std::string& node);
  ~AdbStream();  // ends adb
  AdbStream(const AdbStream&) = delete;
  AdbStream& operator=(const AdbStream&) = delete;

  // Whole lines that came within `longest_ms`, carriage returns left out; "" when none did.
  std::string lines(int longest_ms);
  bool ended() const { return ended_; }

 private:
  int pipe_ = -1, process_ = -1;
  std::string part_;
  bool ended_ = false;
};

}  // namespace paneproof
