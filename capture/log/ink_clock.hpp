// What a T value of InkML means (3.1.7): a time on a timestamp's clock, or since the start of its trace.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace paneproof {

class InkClock {
 public:
  // respect_to: of the channel T, "" when not said; time_offset_ms: of the trace.
  void start_trace(const std::string& respect_to, std::optional<double> time_offset_ms);
  // Time of a point; empty with the reason in `why` when it cannot be told.
  std::optional<std::int64_t> time_us(double t, double us_per_unit, bool first, std::string& why);
  // False when several traces all start at one T, so that nothing tells which came first.
  bool related() const { return running_ <= 1 || start_moved_; }
  // True when times were taken as one running clock though the log does not say so.
  bool assumed() const { return running_ > 1; }

 private:
  std::optional<std::string> respect_to_;
  std::optional<double> offset_us_;
  bool mixed_ = false, two_clocks_ = false, start_moved_ = false;
  std::int64_t traces_ = 0, running_ = 0, with_offset_ = 0, latest_start_us_ = 0;
};

}  // namespace paneproof
