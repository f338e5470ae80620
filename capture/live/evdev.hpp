// A Linux touchscreen of this machine as a source: read through libevdev, grabbed (nobody else gets its
// touches meanwhile), with the kernel's monotonic clock. Gives an evemu recording, as the log reader takes
// it.
#pragma once

#include <cstdint>
#include <string>

struct libevdev;

namespace paneproof {

// The device may be unplugged and come back, under another node too: it is known by its name and numbers.
// What was down then is broken off in the log (SYN_DROPPED: the capture lost events, not the panel).
class EvdevStream {
 public:
  // Throws InputError: 66 when the node cannot be opened or is no touchscreen, 73 when another program has
  // grabbed it.
  explicit EvdevStream(const std::string& node);
  ~EvdevStream();
  EvdevStream(const EvdevStream&) = delete;
  EvdevStream& operator=(const EvdevStream&) = delete;

  // Name, properties, codes and axes: the recording's head.
  std::string description() const;
  // Do the axes tell their units/mm?
  bool tells_size() const;
  // Whole lines that came within `longest_ms`; "" when none did.
  std::string lines(int longest_ms);
  bool plugged() const { return device_ != nullptr; }
  const std::string& node() const { return node_; }

 private:
  bool open(const std::string& node);
  void close();
  bool find_again();
  bool same_device(const libevdev* other) const;
  std::string node_, name_, unique_;
  int ids_[4] = {};
  libevdev* device_ = nullptr;
  int fd_ = -1, clock_ = 1;
  bool reported_ = true;  // the last event was a SYN_REPORT
  std::int64_t last_us_ = 0;
};

}  // namespace paneproof
