// Names and numbers of kernel input events, as far as a touch log needs them: types, SYN, ABS, REL and
// MSC codes, the buttons that tell a device's kind or a tool, properties and tool types. The numbers come
// from the kernel's own header (linux/input-event-codes.h). Keys are not listed: they prove no touch.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace paneproof {

struct EvdevName {
  const char* name;
  std::uint16_t number;
};

// "EV_ABS" -> 3.
std::optional<std::uint16_t> event_type_number(std::string_view name);
// (3, "ABS_MT_SLOT") -> 47. None for a name that is not listed, or of another type.
std::optional<std::uint16_t> event_code_number(std::uint16_t type, std::string_view name);
// (3, 47) -> "ABS_MT_SLOT"; "0x002f" style when the number has no listed name.
std::string event_code_name(std::uint16_t type, std::uint16_t code);
std::string event_type_name(std::uint16_t type);
// "INPUT_PROP_DIRECT" -> 1.
std::optional<std::uint16_t> property_number(std::string_view name);
// "MT_TOOL_PALM" -> 2.
std::optional<std::uint16_t> tool_type_number(std::string_view name);

// Listed codes of a type, for tests against an independent table; empty for other types.
const std::vector<EvdevName>& event_codes(std::uint16_t type);
const std::vector<EvdevName>& event_types();
const std::vector<EvdevName>& properties();

}  // namespace paneproof
