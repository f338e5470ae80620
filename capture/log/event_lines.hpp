// What the readers of kernel events as text share: what a line can be, and what becomes of lines that are
// no event.
#pragma once

#include <string_view>

#include "capture/bytes/lines.hpp"
#include "capture/log/kernel_devices.hpp"
#include "capture/model/notes.hpp"

namespace paneproof {

enum class LineKind {
  event,    // a whole event; one with a name that is not listed has code or type 0xffff
  untimed,  // an event without a time
  damaged,  // starts as an event and goes on as none: events are missing there
  other,    // another program's line, a comment, a blank
};

constexpr std::uint16_t kUnlisted = 0xffff;

class LineDamage {
 public:
  LineDamage(KernelDevices& devices, Notes& notes) : devices_(devices), notes_(notes) {}

  // A line of another program: counted ("lines_skipped"). Blank lines and # comments are not.
  void other(const Lines& lines);
  // A broken event: counted ("lines_damaged"), and all contacts end there.
  void damaged(const Lines& lines);
  // Was the last line one of these, without an ending? Then the log is cut there, and not damaged.
  bool cut() const { return cut_; }

 private:
  void count(const char* id, const char* what, const Lines& lines);

  KernelDevices& devices_;
  Notes& notes_;
  bool cut_ = false;
};

// The reading loop for one device's text log. `header` takes the lines it knows; `parse` the events.
template <typename Header>
bool read_event_lines(Source& source, KernelDevices& devices, Notes& notes,
                      LineKind (*parse)(std::string_view, KernelEvent&)) {
  Lines lines(source);
  Header header(devices);
  LineDamage damage(devices, notes);
  const std::size_t device = devices.at("");
  KernelEvent event;
  while (lines.next()) {
    const LineKind kind = parse(lines.text(), event);
    if (kind == LineKind::event)
      devices.event(device, event);
    else if (kind == LineKind::damaged)
      damage.damaged(lines);
    else if (!header.line(lines.text()))
      damage.other(lines);
  }
  return damage.cut();
}

// Does any line of `head` (the last may be cut) satisfy `is_ours`?
inline bool any_line(std::string_view head, bool (*is_ours)(std::string_view)) {
  while (!head.empty()) {
    const std::size_t end = head.find('\n');
    std::string_view line = head.substr(0, end);
    while (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    if (is_ours(line)) return true;
    if (end == head.npos) return false;
    head.remove_prefix(end + 1);
  }
  return false;
}

}  // namespace paneproof
