#include "capture/log/input_event.hpp"

#include <linux/input.h>

#include <algorithm>
#include <cstdlib>
#include <string>

#include "capture/log/kernel_devices.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t kWide = 24, kNarrow = 16, kTried = 64, kTolerated = 8;
constexpr std::uint64_t kLatest_s = 99999999999;
constexpr std::int64_t kDay_us = 86400ll * 1000000;

std::uint64_t little(const char* bytes, std::size_t count) {
  std::uint64_t value = 0;
  for (std::size_t i = count; i-- > 0;) value = value << 8 | static_cast<unsigned char>(bytes[i]);
  return value;
}

std::uint16_t last_code(std::uint16_t type) {
  switch (type) {
    case EV_SYN:
      return SYN_MAX;
    case EV_KEY:
      return KEY_MAX;
    case EV_REL:
      return REL_MAX;
    case EV_ABS:
      return ABS_MAX;
    case EV_MSC:
      return MSC_MAX;
    case EV_SW:
      return SW_MAX;
    case EV_LED:
      return LED_MAX;
    case EV_SND:
      return SND_MAX;
    case EV_REP:
      return REP_MAX;
    default:
      return 0xff;
  }
}

// One record; false when no kernel writes such a thing.
bool decode(const char* record, std::size_t size, KernelEvent& event) {
  const std::size_t half = size == kWide ? 8 : 4;
  const std::uint64_t seconds = little(record, half), micro = little(record + half, half);
  if (seconds > kLatest_s || micro > 999999) return false;
  event.t_us = static_cast<std::int64_t>(seconds * 1000000 + micro);
  event.type = static_cast<std::uint16_t>(little(record + 2 * half, 2));
  event.code = static_cast<std::uint16_t>(little(record + 2 * half + 2, 2));
  event.value = static_cast<std::int32_t>(little(record + 2 * half + 4, 4));
  return event.type <= EV_MAX && event.code <= last_code(event.type);
}

bool looks_like(std::string_view head, std::size_t size) {
  const std::size_t records = std::min(head.size() / size, kTried);
  bool report = false;
  std::size_t damaged = 0;
  std::int64_t before_us = -1;
  for (std::size_t i = 0; i < records; ++i) {
    KernelEvent event;
    if (!decode(head.data() + i * size, size, event) ||
        (before_us >= 0 && std::abs(event.t_us - before_us) > kDay_us)) {
      ++damaged;
      continue;
    }
    before_us = event.t_us;
    report = report || (event.type == EV_SYN && event.code == SYN_REPORT && event.value <= 1);
  }
  return report && damaged * kTolerated <= records;
}

std::size_t record_size(std::string_view head) {
  return looks_like(head, kWide) ? kWide : looks_like(head, kNarrow) ? kNarrow : 0;
}

bool recognises(std::string_view head) { return record_size(head) != 0; }

Recording read(Source& source, const ReadOptions& options, Notes& notes) {
  const std::size_t size = record_size(source.head());
  if (size == 0)
    throw InputError(source.name(), "byte 0", "expected records of struct input_event",
                     "is this a touch log?");
  KernelDevices devices(options);
  const std::size_t device = devices.at("");
  std::string carry;
  const auto record = [&](const char* bytes) {
    KernelEvent event;
    if (decode(bytes, size, event)) return devices.event(device, event);
    devices.lost();
    notes.add("records_damaged", "records that no kernel writes were left out; contacts end there");
  };
  for (std::string_view block = source.read(); !block.empty(); block = source.read()) {
    if (!carry.empty()) {
      const std::size_t wanted = std::min(size - carry.size(), block.size());
      carry.append(block.substr(0, wanted));
      block.remove_prefix(wanted);
      if (carry.size() < size) continue;
      record(carry.data());
      carry.clear();
    }
    for (; block.size() >= size; block.remove_prefix(size)) record(block.data());
    carry.assign(block);
  }
  return std::move(devices).finish(source, "input_event", !carry.empty(), notes);
}

}  // namespace

const Format& input_event_format() {
  static const Format format = {"input_event", "raw struct input_event records", recognises, read};
  return format;
}

}  // namespace paneproof
