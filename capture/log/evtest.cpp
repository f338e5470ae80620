#include "capture/log/evtest.hpp"

#include <linux/input.h>

#include "capture/log/evdev_codes.hpp"
#include "capture/log/field_reader.hpp"

namespace paneproof {
namespace {

bool recognises(std::string_view head) {
  return any_line(head, [](std::string_view line) {
    KernelEvent event;
    return line.substr(0, 24) == "Input driver version is " ||
           parse_evtest_line(line, event) == LineKind::event;
  });
}

Recording read(Source& source, const ReadOptions& options, Notes& notes) {
  KernelDevices devices(options);
  const bool cut = read_event_lines<EvtestHeader>(source, devices, notes, parse_evtest_line);
  return std::move(devices).finish(source, "evtest", cut, notes);
}

// `-------------- SYN_REPORT ------------`
LineKind parse_sync(std::string_view text, KernelEvent& event) {
  const std::size_t start = text.find_first_not_of("-+> ");
  if (start == text.npos || start < 3) return LineKind::damaged;
  text.remove_prefix(start);
  const std::size_t end = text.find_first_of("-+<");
  if (end == text.npos) return LineKind::damaged;
  std::string_view name = text.substr(0, end);
  while (!name.empty() && name.back() == ' ') name.remove_suffix(1);
  event.type = EV_SYN;
  event.value = 0;
  if (name == "Report Sync")
    event.code = SYN_REPORT;
  else if (name == "MT Report Sync" || name == "MT Sync")
    event.code = SYN_MT_REPORT;
  else if (name == "?")
    event.code = kUnlisted;
  else
    event.code = event_code_number(EV_SYN, name).value_or(kUnlisted);
  return LineKind::event;
}

}  // namespace

LineKind parse_evtest_line(std::string_view line, KernelEvent& event) {
  FieldReader fields(line);
  if (!fields.literal("Event: time ")) return LineKind::other;
  if (!fields.seconds(event.t_us) || !fields.literal(", ")) return LineKind::damaged;
  if (!fields.literal("type ")) return parse_sync(fields.left(), event);
  const auto past = [&](std::string_view text) {
    const std::size_t at = fields.left().find(text);
    if (at == fields.left().npos) return false;
    fields = FieldReader(fields.left().substr(at + text.size()));
    return true;
  };
  if (!fields.number(event.type) || !past(", code ")) return LineKind::damaged;
  if (!fields.number(event.code) || !past(", value ")) return LineKind::damaged;
  event.value = 0;
  const bool hexadecimal = event.type == EV_MSC && (event.code == MSC_RAW || event.code == MSC_SCAN);
  if (hexadecimal) return LineKind::event;  // no touch in it
  if (!fields.number(event.value)) return LineKind::damaged;
  return fields.at_end() || fields.left()[0] == ' ' ? LineKind::event : LineKind::damaged;
}

bool EvtestHeader::bound(std::string_view word, std::int64_t value) {
  if (word == "Value") return true;
  if (word == "Min")
    range_.min = value;
  else if (word == "Max")
    range_.max = value;
  else if (word == "Resolution")
    range_.resolution = value;
  else
    return word == "Fuzz" || word == "Flat";
  if (type_ == EV_ABS) devices_.description(devices_.at("")).add_range(code_, range_);
  return true;
}

bool EvtestHeader::line(std::string_view line) {
  DeviceDescription& device = devices_.description(devices_.at(""));
  FieldReader fields(line);
  if (fields.literal("Input device name: \"")) {
    const std::string_view name = fields.left().substr(0, fields.left().rfind('"'));
    device.name = std::string(name.substr(0, 256));
    return true;
  }
  if (fields.literal("Input d") || fields.literal("Supported events:") || fields.literal("Testing ..."))
    return true;
  if (fields.literal("Properties:") || fields.literal("Key repeat handling:")) return true;
  if (!fields.literal("  ")) return false;
  fields.blanks();
  std::uint16_t number = 0;
  if (fields.literal("Event type ")) {
    type_ = fields.number(number) ? number : kUnlisted;
    return true;
  }
  if (fields.literal("Event code ")) {
    if (!fields.number(code_)) return true;
    range_ = {};
    device.listed = true;
    device.add_code(type_, code_);
    return true;
  }
  if (fields.literal("Property type ")) {
    if (fields.number(number)) device.add_property(number);
    return true;
  }
  if (fields.literal("Repeat ") || fields.literal("State ")) return true;
  const std::string_view word = fields.word();
  std::int64_t value = 0;
  fields.blanks();
  return fields.number(value) && bound(word, value);
}

const Format& evtest_format() {
  static const Format format = {"evtest", "evtest text", recognises, read};
  return format;
}

}  // namespace paneproof
