#include "capture/log/getevent_line.hpp"

#include <linux/input.h>

#include <optional>

#include "capture/log/evdev_codes.hpp"
#include "capture/log/field_reader.hpp"

namespace paneproof {
namespace {

// getevent prints exactly this many digits, so a cut number is seen.
bool hex(std::string_view word, std::size_t digits, std::uint32_t& value) {
  FieldReader fields(word);
  return word.size() == digits && fields.number(value, 16) && fields.at_end();
}

bool is_name(std::string_view word) {
  if (word.size() < 2 || word[0] < 'A' || word[0] > 'Z') return false;
  for (const char c : word)
    if (!((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_')) return false;
  return true;
}

bool type_of(std::string_view word, std::uint16_t& type) {
  std::uint32_t number = 0;
  if (hex(word, 4, number)) {
    type = static_cast<std::uint16_t>(number);
    return true;
  }
  if (word.substr(0, 3) != "EV_") return false;
  type = event_type_number(word).value_or(kUnlisted);
  return true;
}

bool code_of(std::string_view word, std::uint16_t type, std::uint16_t& code) {
  std::uint32_t number = 0;
  if (hex(word, 4, number)) {
    code = static_cast<std::uint16_t>(number);
    return true;
  }
  if (!is_name(word)) return false;
  code = event_code_number(type, word).value_or(kUnlisted);
  return true;
}

bool value_of(std::string_view word, std::int32_t& value) {
  std::uint32_t number = 0;
  if (hex(word, 8, number)) {
    value = static_cast<std::int32_t>(number);
    return true;
  }
  if (word == "DOWN" || word == "UP" || word == "REPEAT") {
    value = word == "UP" ? 0 : word == "DOWN" ? 1 : 2;
    return true;
  }
  if (word.substr(0, 8) != "MT_TOOL_") return false;
  value = tool_type_number(word).value_or(0);
  return true;
}

// `[ 12.000345] ` or `12-345: `. False when no time stands there; `broken` when one does, but not whole.
bool time_of(FieldReader& fields, std::int64_t& t_us, bool& broken) {
  FieldReader at = fields;
  if (at.literal("[")) {
    at.blanks();
    const bool digit = !at.at_end() && at.left()[0] >= '0' && at.left()[0] <= '9';
    if (!at.seconds(t_us) || !at.literal("]")) {
      broken = digit;
      return false;
    }
    at.blanks();
    fields = at;
    return true;
  }
  std::uint64_t whole = 0, micro = 0;
  if (!at.number(whole) || !at.literal("-") || !at.number(micro) || !at.literal(": ")) return false;
  if (whole > 99999999999 || micro > 999999) return false;
  t_us = static_cast<std::int64_t>(whole * 1000000 + micro);
  fields = at;
  return true;
}

}  // namespace

LineKind parse_getevent_line(std::string_view line, GeteventLine& out) {
  FieldReader fields(line);
  bool broken = false;
  const bool timed = time_of(fields, out.event.t_us, broken);
  if (broken) return LineKind::damaged;
  const LineKind otherwise = timed ? LineKind::damaged : LineKind::other;
  fields.blanks();
  out.node = {};
  if (!fields.at_end() && fields.left()[0] == '/') {
    out.node = fields.word();
    if (out.node.back() != ':') return otherwise;
    out.node.remove_suffix(1);
    fields.blanks();
  }
  if (!type_of(fields.word(), out.event.type)) return otherwise;
  fields.blanks();
  if (!code_of(fields.word(), out.event.type, out.event.code)) return otherwise;
  fields.blanks();
  if (!value_of(fields.word(), out.event.value)) return otherwise;
  return timed ? LineKind::event : LineKind::untimed;
}

bool GeteventDevices::line(std::string_view line) {
  FieldReader fields(line);
  if (fields.literal("add device ")) {
    const std::size_t colon = fields.left().find(": ");
    if (colon == std::string_view::npos) return true;
    device_ = devices_.at(fields.left().substr(colon + 2));
    section_ = Section::facts;
    return true;
  }
  if (fields.literal("remove device ")) {
    section_ = Section::none;
    return true;
  }
  if (!fields.literal("  ")) section_ = Section::none;
  if (section_ == Section::none) return false;
  if (fields.literal("  ")) {
    if (section_ == Section::events) events(fields.left());
    if (section_ == Section::properties) property(fields.left());
    return true;
  }
  section_ = Section::facts;
  if (fields.literal("name:")) {
    const std::size_t first = line.find('"'), last = line.rfind('"');
    if (first != std::string_view::npos && last > first)
      devices_.description(device_).name =
          std::string(line.substr(first + 1, last - first - 1).substr(0, 256));
  } else if (fields.literal("events:")) {
    section_ = Section::events;
    type_ = kUnlisted;
  } else if (fields.literal("input props:")) {
    section_ = Section::properties;
  }
  return true;
}

// `ABS (0003): ` opens a type; lines without it go on with the last one.
void GeteventDevices::events(std::string_view line) {
  const std::size_t open = line.find('('), close = line.find("):");
  if (open != std::string_view::npos && close != std::string_view::npos && close > open) {
    std::uint32_t number = 0;
    type_ = hex(line.substr(open + 1, close - open - 1), 4, number) ? static_cast<std::uint16_t>(number)
                                                                    : kUnlisted;
    line.remove_prefix(close + 2);
  }
  codes(line);
}

void GeteventDevices::codes(std::string_view line) {
  DeviceDescription& device = devices_.description(device_);
  device.listed = true;
  FieldReader fields(line);
  std::uint16_t code = 0;
  for (fields.blanks(); !fields.at_end(); fields.blanks()) {
    if (type_ == EV_ABS && fields.literal(": value ")) {
      DeviceDescription::Range range;
      std::int64_t ignored = 0;
      if (fields.number(ignored) && fields.literal(", min ") && fields.number(range.min) &&
          fields.literal(", max ") && fields.number(range.max)) {
        if (fields.literal(", fuzz ") && fields.number(ignored) && fields.literal(", flat ") &&
            fields.number(ignored) && fields.literal(", resolution "))
          (void)fields.number(range.resolution);
        device.add_range(code, range);
      }
      return;
    }
    std::string_view word = fields.word();
    if (!word.empty() && word.back() == '*') word.remove_suffix(1);  // pressed now
    if (code_of(word, type_, code)) device.add_code(type_, code);
  }
}

void GeteventDevices::property(std::string_view line) {
  FieldReader fields(line);
  const std::string_view word = fields.word();
  std::uint32_t number = 0;
  if (const auto known = property_number(word))
    devices_.description(device_).add_property(*known);
  else if (hex(word, 4, number))
    devices_.description(device_).add_property(static_cast<std::uint16_t>(number));
}

}  // namespace paneproof
