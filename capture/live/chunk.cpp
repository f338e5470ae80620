#include "capture/live/chunk.hpp"

#include <charconv>
#include <cmath>

#include "capture/log/pointer_event.hpp"

namespace paneproof {
namespace {

constexpr std::string_view mark_key = "\"chunk\"";
constexpr std::size_t longest_line = 64 * 1024;
constexpr double longest_ms = 7 * 86400e3;  // a sweep takes minutes; a week is damage
constexpr double largest_px = 1e6;
constexpr double largest_id = 9007199254740992.0;

std::string_view trimmed(std::string_view line) {
  const std::size_t first = line.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return line.substr(first, line.find_last_not_of(" \t\r") - first + 1);
}

bool within(const std::optional<double>& value, double least, double most) {
  return value && *value >= least && *value <= most;
}
bool if_there(const std::optional<double>& value, double least, double most) {
  return !value || within(value, least, most);
}

bool good_point(const PointerPoint& point) {
  return within(point.time_ms, 0, longest_ms) && within(point.client_x, -largest_px, largest_px) &&
         within(point.client_y, -largest_px, largest_px);
}

bool good_screen(const PointerEvent& e) {
  if (!within(e.width, 50, 20000) || !within(e.height, 50, 20000)) return false;
  if (!if_there(e.left, -20000, 20000) || !if_there(e.top, -20000, 20000)) return false;
  if (!if_there(e.px_per_mm, 0.5, 100)) return false;
  // Past a quarter of a side the page is a window, not a screen.
  return if_there(e.unreachable_left, 0, *e.width / 4) && if_there(e.unreachable_right, 0, *e.width / 4) &&
         if_there(e.unreachable_top, 0, *e.height / 4) && if_there(e.unreachable_bottom, 0, *e.height / 4);
}

bool good_kind(const std::optional<std::string>& kind) {
  return kind && !kind->empty() && kind->size() <= 20 &&
         kind->find_first_not_of("abcdefghijklmnopqrstuvwxyz_") == std::string::npos;
}

std::optional<std::string> event_fault(const PointerEvent& e) {
  if (!e.type) return "a line without a type";
  if (*e.type == "interruption")
    return good_kind(e.kind) ? std::nullopt : std::optional<std::string>("an interruption without its kind");
  const bool known = *e.type == "pointerdown" || *e.type == "pointermove" || *e.type == "pointerup" ||
                     *e.type == "pointercancel";
  if (!known) return "a type that is not recorded";
  if (e.pointer_type != "touch" && e.pointer_type != "pen") return "a pointer that is no touch";
  if (!within(e.pointer_id, -largest_id, largest_id) || *e.pointer_id != std::floor(*e.pointer_id))
    return "a pointerId that is no whole number";
  if (!good_point(e.point)) return "a point without its time and place";
  for (const PointerPoint& point : e.coalesced)
    if (!good_point(point)) return "a coalesced point without its time and place";
  return std::nullopt;
}

std::optional<std::string> line_fault(std::string_view line, bool screen_only) {
  if (line.size() > longest_line) return "a line that is too long";
  if (line.find(mark_key) != std::string_view::npos) return "a line with a key of the server's";
  PointerEvent event;
  if (const auto fault = read_pointer_event(line, event)) return "expected " + fault->expected;
  if (event.has_screen)
    return good_screen(event) ? std::nullopt : std::optional<std::string>("a screen out of bounds");
  if (screen_only) return "expected the screen first";
  return event_fault(event);
}

// Calls `visit(line)` for every line that is not blank, until it says stop.
template <typename Visit>
void each_line(std::string_view body, Visit visit) {
  while (!body.empty()) {
    const std::size_t end = std::min(body.find('\n'), body.size());
    const std::string_view line = trimmed(body.substr(0, end));
    if (!line.empty() && !visit(line)) return;
    body.remove_prefix(std::min(end + 1, body.size()));
  }
}

}  // namespace

std::optional<std::string> chunk_fault(std::string_view body, std::int64_t number) {
  if (body.size() > largest_chunk_bytes) return "a chunk that is too large";
  std::optional<std::string> fault;
  int lines = 0;
  each_line(body, [&](std::string_view line) {
    ++lines;
    fault = line_fault(line, number == 0);
    return !fault;
  });
  if (!fault && lines == 0) return "a chunk without lines";
  if (!fault && number == 0 && lines > 1) return "expected the screen alone in chunk 0";
  return fault;
}

std::string marked_chunk(std::string_view body, std::int64_t number) {
  std::string stored;
  stored.reserve(body.size() + 32);
  each_line(body, [&](std::string_view line) {
    stored.append(line);
    stored += '\n';
    return true;
  });
  const std::size_t brace = stored.rfind('}');
  stored.erase(brace);
  stored += std::string(",") + std::string(mark_key) + ":" + std::to_string(number) + "}\n";
  return stored;
}

std::optional<std::int64_t> chunk_mark(std::string_view line) {
  const std::size_t at = line.rfind(mark_key);
  if (at == std::string_view::npos || line.empty() || line.back() != '}') return std::nullopt;
  const std::string_view digits = line.substr(at + mark_key.size());
  std::int64_t number = 0;
  if (digits.size() < 3 || digits[0] != ':') return std::nullopt;
  const auto [end, error] = std::from_chars(digits.data() + 1, digits.data() + digits.size(), number);
  if (error != std::errc() || number < 0 || end != digits.data() + digits.size() - 1) return std::nullopt;
  return number;
}

}  // namespace paneproof
