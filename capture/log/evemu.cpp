#include "capture/log/evemu.hpp"

#include <linux/input.h>

#include "capture/log/field_reader.hpp"

namespace paneproof {
namespace {

bool recognises(std::string_view head) {
  return any_line(head, [](std::string_view line) {
    KernelEvent event;
    const bool described = line.substr(0, 3) == "N: " || line.substr(0, 3) == "B: ";
    return described || line.substr(0, 8) == "# EVEMU " || parse_evemu_line(line, event) == LineKind::event;
  });
}

Recording read(Source& source, const ReadOptions& options, Notes& notes) {
  KernelDevices devices(options);
  const bool cut = read_event_lines<EvemuDescription>(source, devices, notes, parse_evemu_line);
  return std::move(devices).finish(source, "evemu", cut, notes);
}

}  // namespace

LineKind parse_evemu_line(std::string_view line, KernelEvent& event) {
  FieldReader fields(line);
  if (!fields.literal("E:")) return LineKind::other;
  fields.blanks();
  if (!fields.seconds(event.t_us)) return LineKind::damaged;
  fields.blanks();
  const std::string_view type = fields.word();
  fields.blanks();
  const std::string_view code = fields.word();
  fields.blanks();
  FieldReader type_digits(type), code_digits(code);
  const bool whole = type.size() == 4 && type_digits.number(event.type, 16) && type_digits.at_end() &&
                     code.size() == 4 && code_digits.number(event.code, 16) && code_digits.at_end() &&
                     fields.number(event.value);
  if (!whole) return LineKind::damaged;
  return fields.at_end() || fields.left()[0] == ' ' || fields.left()[0] == '\t' ? LineKind::event
                                                                                : LineKind::damaged;
}

bool EvemuDescription::line(std::string_view line) {
  if (line.size() < 2 || line[1] != ':') return false;
  FieldReader fields(line.substr(2));
  fields.blanks();
  switch (line[0]) {
    case 'N':
      devices_.description(devices_.at("")).name = std::string(fields.left().substr(0, 256));
      return true;
    case 'P':
      bits(fields.left(), true);
      return true;
    case 'B':
      bits(fields.left(), false);
      return true;
    case 'A':
      axis(fields.left());
      return true;
    default:
      return line[0] == 'I' || line[0] == 'L' || line[0] == 'S';  // ids, lights, switches
  }
}

void EvemuDescription::bits(std::string_view bytes, bool properties) {
  DeviceDescription& device = devices_.description(devices_.at(""));
  FieldReader fields(bytes);
  std::uint16_t type = 0;
  if (!properties && (!fields.number(type, 16) || type >= bytes_of_type_.size())) return;
  std::uint32_t& done = properties ? property_bytes_ : bytes_of_type_[type];
  std::uint8_t byte = 0;
  device.listed = device.listed || !properties;
  for (fields.blanks(); fields.number(byte, 16) && done < 4096; fields.blanks(), ++done)
    for (std::uint32_t bit = 0; bit < 8; ++bit) {
      if ((byte >> bit & 1) == 0) continue;
      const auto code = static_cast<std::uint16_t>(done * 8 + bit);
      if (properties)
        device.add_property(code);
      else
        device.add_code(type, code);
    }
}

void EvemuDescription::axis(std::string_view text) {
  DeviceDescription& device = devices_.description(devices_.at(""));
  FieldReader fields(text);
  std::uint16_t code = 0;
  DeviceDescription::Range range;
  std::int64_t ignored = 0;
  const auto next = [&](std::int64_t& value) {
    fields.blanks();
    return fields.number(value);
  };
  if (!fields.number(code, 16) || !next(range.min) || !next(range.max)) return;
  if (next(ignored) && next(ignored)) (void)next(range.resolution);
  device.add_range(code, range);
}

const Format& evemu_format() {
  static const Format format = {"evemu", "evemu recording", recognises, read};
  return format;
}

}  // namespace paneproof
