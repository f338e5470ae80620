#include "capture/live/evdev.hpp"

#include <fcntl.h>
#include <libevdev/libevdev.h>
#include <poll.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdarg>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <thread>
#include <vector>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t most_lines = 20000;  // a call; a device that never stops must not hold it

template <class... Values>
void put(std::string& out, const char* format, Values... values) {
  char line[128];
  const int length = std::snprintf(line, sizeof line, format, values...);
  out.append(line, static_cast<std::size_t>(std::clamp(length, 0, static_cast<int>(sizeof line) - 1)));
}

std::int64_t now_us(int clock) {
  timespec now{};
  ::clock_gettime(clock, &now);
  return static_cast<std::int64_t>(now.tv_sec) * 1000000 + now.tv_nsec / 1000;
}

void put_event(std::string& out, std::int64_t t_us, unsigned type, unsigned code, int value) {
  put(out, "E: %lld.%06lld %04x %04x %04d\n", static_cast<long long>(t_us / 1000000),
      static_cast<long long>(t_us % 1000000), type, code, value);
}

// One bit a code, eight bytes a line.
template <class Has>
void put_bits(std::string& out, const std::string& head, unsigned most, Has has) {
  for (unsigned from = 0; from <= most; from += 64) {
    out += head;
    for (unsigned byte = from; byte < from + 64; byte += 8) {
      unsigned value = 0;
      for (unsigned bit = 0; bit < 8; ++bit)
        if (byte + bit <= most && has(byte + bit)) value |= 1U << bit;
      put(out, " %02x", value);
    }
    out += "\n";
  }
}

bool is_touchscreen(const libevdev* device) {
  const bool placed =
      libevdev_has_event_code(device, EV_ABS, ABS_MT_POSITION_X) ||
      (libevdev_has_event_code(device, EV_ABS, ABS_X) && libevdev_has_event_code(device, EV_KEY, BTN_TOUCH));
  return placed && !libevdev_has_property(device, INPUT_PROP_POINTER);
}

// Tells the reader that events were lost here, and that what follows is whole again.
void put_break(std::string& out, std::int64_t t_us) {
  put_event(out, t_us, EV_SYN, SYN_DROPPED, 0);
  put_event(out, t_us, EV_SYN, SYN_REPORT, 0);
}

}  // namespace

EvdevStream::EvdevStream(const std::string& node) : node_(node) {
  // What a device that comes back says of touches that it no longer has is told by the log, not on the
  // terminal.
  libevdev_set_log_function(
      [](libevdev_log_priority, void*, const char*, int, const char*, const char*, va_list) {}, nullptr);
  if (!open(node)) {
    const std::string why = std::strerror(errno);
    throw InputError(node, "", "cannot be read: " + why,
                     errno == EACCES ? "run as a member of the group input"
                                     : "is this an input device? /proc/bus/input/devices lists them",
                     Exit::no_input);
  }
  const bool screen = is_touchscreen(device_);
  name_ = libevdev_get_name(device_);
  unique_ = libevdev_get_uniq(device_) ? libevdev_get_uniq(device_) : "";
  const int ids[] = {libevdev_get_id_bustype(device_), libevdev_get_id_vendor(device_),
                     libevdev_get_id_product(device_), libevdev_get_id_version(device_)};
  std::copy(std::begin(ids), std::end(ids), ids_);
  if (!screen) {
    close();
    throw InputError(node, "", "expected a touchscreen, but this is " + printable(name_),
                     "/proc/bus/input/devices lists all", Exit::no_input);
  }
  if (const int error = libevdev_grab(device_, LIBEVDEV_GRAB); error != 0) {
    close();
    throw InputError(node, "", std::string("cannot be grabbed: ") + std::strerror(-error),
                     "end the other program that has it for itself", Exit::cannot_create);
  }
}

EvdevStream::~EvdevStream() { close(); }

bool EvdevStream::open(const std::string& node) {
  fd_ = ::open(node.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC);
  if (fd_ < 0) return false;
  if (const int error = libevdev_new_from_fd(fd_, &device_); error != 0) {
    device_ = nullptr;
    close();
    errno = -error;
    return false;
  }
  // A kernel that cannot stamps with the clock on the wall.
  clock_ = libevdev_set_clock_id(device_, CLOCK_MONOTONIC) == 0 ? CLOCK_MONOTONIC : CLOCK_REALTIME;
  return true;
}

void EvdevStream::close() {
  if (device_) libevdev_free(device_);
  if (fd_ >= 0) ::close(fd_);
  device_ = nullptr;
  fd_ = -1;
  reported_ = true;
}

bool EvdevStream::same_device(const libevdev* other) const {
  const char* unique = libevdev_get_uniq(other);
  return libevdev_get_name(other) == name_ && (unique ? unique : "") == unique_ &&
         libevdev_get_id_bustype(other) == ids_[0] && libevdev_get_id_vendor(other) == ids_[1] &&
         libevdev_get_id_product(other) == ids_[2] && libevdev_get_id_version(other) == ids_[3];
}

// Its own node first: of two alike it is the likelier.
bool EvdevStream::find_again() {
  std::vector<std::string> nodes = {node_};
  std::error_code none;
  for (const auto& each :
       std::filesystem::directory_iterator(std::filesystem::path(node_).parent_path(), none))
    if (each.path().filename().string().starts_with("event") && each.path() != node_)
      nodes.push_back(each.path());
  for (const std::string& node : nodes) {
    if (!open(node)) continue;
    if (same_device(device_) && libevdev_grab(device_, LIBEVDEV_GRAB) == 0) {
      node_ = node;
      return true;
    }
    close();
  }
  return false;
}

std::string EvdevStream::description() const {
  std::string out = "# EVEMU 1.3\nN: " + printable(name_, 200) + "\n";
  put(out, "I: %04x %04x %04x %04x\n", static_cast<unsigned>(ids_[0]), static_cast<unsigned>(ids_[1]),
      static_cast<unsigned>(ids_[2]), static_cast<unsigned>(ids_[3]));
  put_bits(out, "P:", INPUT_PROP_MAX, [&](unsigned bit) { return libevdev_has_property(device_, bit) == 1; });
  put_bits(out, "B: 00", EV_MAX, [&](unsigned bit) { return libevdev_has_event_type(device_, bit) == 1; });
  for (const unsigned type :
       {static_cast<unsigned>(EV_KEY), static_cast<unsigned>(EV_ABS), static_cast<unsigned>(EV_MSC)}) {
    char head[16];
    std::snprintf(head, sizeof head, "B: %02x", type);
    const int most = libevdev_event_type_get_max(type);
    put_bits(out, head, static_cast<unsigned>(most),
             [&](unsigned bit) { return libevdev_has_event_code(device_, type, bit) == 1; });
  }
  for (unsigned code = 0; code <= ABS_MAX; ++code)
    if (const input_absinfo* axis = libevdev_get_abs_info(device_, code))
      put(out, "A: %02x %d %d %d %d %d\n", code, axis->minimum, axis->maximum, axis->fuzz, axis->flat,
          axis->resolution);
  // The kernel sends only what changes: the slot that is current now.
  if (const int slot = libevdev_get_current_slot(device_); slot >= 0) {
    const std::int64_t t_us = now_us(clock_);
    put_event(out, t_us, EV_ABS, ABS_MT_SLOT, slot);
    put_event(out, t_us, EV_SYN, SYN_REPORT, 0);
  }
  return out;
}

bool EvdevStream::tells_size() const {
  const unsigned x = libevdev_has_event_code(device_, EV_ABS, ABS_MT_POSITION_X) ? ABS_MT_POSITION_X : ABS_X;
  return libevdev_get_abs_resolution(device_, x) > 0 && libevdev_get_abs_resolution(device_, x + 1) > 0;
}

std::string EvdevStream::lines(int longest_ms) {
  std::string out;
  if (!device_) {
    std::this_thread::sleep_for(std::chrono::milliseconds(longest_ms));
    if (!find_again()) return out;
    // A finger that is down already is not known to the log: it counts from its next landing.
    last_us_ = std::max(now_us(clock_), last_us_);
    put_break(out, last_us_);
    if (const int slot = libevdev_get_current_slot(device_); slot >= 0) {
      put_event(out, last_us_, EV_ABS, ABS_MT_SLOT, slot);
      put_event(out, last_us_, EV_SYN, SYN_REPORT, 0);
    }
    return out;
  }
  pollfd wait = {fd_, POLLIN, 0};
  if (!libevdev_has_event_pending(device_) && ::poll(&wait, 1, longest_ms) <= 0) return out;
  unsigned flag = LIBEVDEV_READ_FLAG_NORMAL;
  for (std::size_t i = 0; i < most_lines; ++i) {
    input_event event;
    const int status = libevdev_next_event(device_, flag, &event);
    if (status == -EAGAIN && flag == LIBEVDEV_READ_FLAG_SYNC) {  // all that changed meanwhile is told
      flag = LIBEVDEV_READ_FLAG_NORMAL;
      continue;
    }
    if (status == -EAGAIN && reported_) break;
    if (status == -EAGAIN) {  // in the midst of a frame: its end is under way
      if (::poll(&wait, 1, 20) <= 0) break;
      continue;
    }
    if (status < 0) {
      put_break(out, last_us_);
      close();
      break;
    }
    last_us_ = static_cast<std::int64_t>(event.input_event_sec) * 1000000 + event.input_event_usec;
    if (status == LIBEVDEV_READ_STATUS_SYNC && flag == LIBEVDEV_READ_FLAG_NORMAL) {
      put_break(out, last_us_);
      flag = LIBEVDEV_READ_FLAG_SYNC;
      continue;
    }
    put_event(out, last_us_, event.type, event.code, event.value);
    reported_ = event.type == EV_SYN && event.code == SYN_REPORT;
  }
  return out;
}

}  // namespace paneproof
