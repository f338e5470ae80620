// One line of a Pointer Events log, read by JSON's own events: no document is built, a key that comes
// twice and a value of the wrong type are faults, and keys that are not ours are ignored at any depth.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace paneproof {

struct PointerPoint {
  std::optional<double> time_ms, client_x, client_y;
};

struct PointerEvent {
  std::optional<std::string> type, pointer_type, tool, kind;
  std::optional<double> pointer_id, buttons, pressure;
  PointerPoint point;
  std::vector<PointerPoint> coalesced;
  bool has_coalesced = false;
  // The first line's own: the screen and where the page stands on it, CSS px.
  bool has_screen = false;
  std::optional<double> width, height, left, top;
  std::optional<double> px_per_mm;
  // Strips along the screen's sides that the page could not reach, CSS px.
  std::optional<double> unreachable_left, unreachable_top, unreachable_right, unreachable_bottom;
  std::optional<bool> all_reports;
};

struct LineFault {
  std::size_t at = 0;    // byte offset in the line
  std::string expected;  // what should have stood there
};

// Fills `event` (cleared first). A fault when the line is no JSON object or a value is not as expected.
std::optional<LineFault> read_pointer_event(std::string_view line, PointerEvent& event);

}  // namespace paneproof
