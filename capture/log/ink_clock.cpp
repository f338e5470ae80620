#include "capture/log/ink_clock.hpp"

#include "capture/log/point_contacts.hpp"

namespace paneproof {

void InkClock::start_trace(const std::string& respect_to, std::optional<double> time_offset_ms) {
  two_clocks_ = two_clocks_ || (respect_to_ && *respect_to_ != respect_to);
  respect_to_ = respect_to;
  offset_us_.reset();
  if (!respect_to.empty()) return;
  ++traces_;
  if (time_offset_ms) {
    offset_us_ = *time_offset_ms * 1e3;
    ++with_offset_;
  }
  mixed_ = with_offset_ != 0 && with_offset_ != traces_;
}

std::optional<std::int64_t> InkClock::time_us(double t, double us_per_unit, bool first, std::string& why) {
  if (two_clocks_ || mixed_) {
    why = two_clocks_ ? "one timestamp for every trace" : "a timeOffset on every trace or on none";
    return std::nullopt;
  }
  const auto t_us = whole_us(t * us_per_unit + offset_us_.value_or(0), 1);
  if (!t_us) {
    why = "a time T from 0 to 285 years";
    return std::nullopt;
  }
  if (first && respect_to_->empty() && !offset_us_) {
    if (running_ > 0 && *t_us < latest_start_us_) {
      why = "traces that start one after another, for T has no respectTo";
      return std::nullopt;
    }
    start_moved_ = start_moved_ || (running_ > 0 && *t_us != latest_start_us_);
    latest_start_us_ = *t_us;
    ++running_;
  }
  return t_us;
}

}  // namespace paneproof
