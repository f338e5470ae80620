// Whole points to contacts: the rules that CSV, Pointer Events and InkML share. These formats send a
// point with its own time, unlike the kernel's events (kernel_contacts).
//
// Times: each format states them on a clock of its own. That clock is kept, so that a printed time can
// be found in the file; only one whose first time is a day or more (an absolute clock) is counted from
// its first point. Order holds within a contact, not between them (lines may interleave pointers). A
// contact whose time goes back tells that the clock stepped back: every open contact is broken there,
// the step is a hole, and what follows counts on from the latest time.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>

#include "capture/model/input_error.hpp"
#include "capture/model/notes.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Time as integer microseconds: nearest, from seconds x 1e6 or ms x 1e3. Empty when not finite,
// negative, or past 2^53 us (285 years), where doubles no longer tell microseconds apart.
std::optional<std::int64_t> whole_us(double value, double us_per_unit);

// The largest coordinate that any format accepts, in its own units: past it a number is damage.
inline constexpr double kLargestPosition = 1e9;

// A fault in a line of text: place "line N, column M" and the text around it with a caret before the
// first bad byte. `at` is a byte offset in `line`.
InputError line_error(const std::string& file, std::int64_t number, std::string_view line, std::size_t at,
                      const std::string& expected, const std::string& remedy);

class PointContacts {
 public:
  PointContacts(std::string file, Notes& notes) : file_(std::move(file)), notes_(notes) {}

  // A contact number that lands; one that is still down had its end lost and is broken first.
  void down(std::int64_t key, std::int64_t t_us, double x, double y, Tool tool);
  // A point of a contact; lands it when it is not down (the log began during the contact).
  void point(std::int64_t key, std::int64_t t_us, double x, double y, Tool tool);
  // Ends a contact; nothing when it is not down.
  void end(std::int64_t key, Ending ending);
  // The number will not come again, but its contact is still down where the log ends.
  void forget(std::int64_t key) { down_.erase(key); }
  bool is_down(std::int64_t key) const;
  // Time of the contact's last point; empty when it is not down.
  std::optional<std::int64_t> last_us(std::int64_t key) const;
  // Ends as lifted every contact whose last point is earlier than `before_us`.
  void lift_silent_since(std::int64_t before_us);
  std::int64_t latest_us() const { return latest_us_; }
  std::size_t down_count() const { return down_.size(); }

  // Contacts in order of their first point. Throws InputError (65) when there is no point at all.
  Recording finish(Axes axes, SourceFacts source) &&;

 private:
  struct Down {
    std::uint32_t contact = 0;
    std::int64_t last_us = 0;
  };
  std::int64_t on_clock(std::int64_t key, std::int64_t t_us);
  void land(std::int64_t key, std::int64_t t_us, Tool tool);

  std::string file_;
  Notes& notes_;
  RecordingBuilder builder_;
  std::unordered_map<std::int64_t, Down> down_;
  std::int64_t first_us_ = 0, latest_us_ = 0, offset_us_ = 0;
  bool any_ = false, only_pen_ = true;
};

}  // namespace paneproof
