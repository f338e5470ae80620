#include "capture/log/frame_clock.hpp"

#include <algorithm>
#include <cstdlib>

namespace paneproof {
namespace {

constexpr int kProof = 20, kStrikes = 3, kPull = 64;
constexpr std::int64_t kApart_us = 10000, kFar_us = 100000, kIdle_us = 900000;

}  // namespace

std::int64_t FrameClock::time(std::int64_t host_us, std::optional<std::uint32_t> stamp) {
  std::int64_t frame_us = host_us;
  if (stamp && strikes_ < kStrikes) {
    const std::int64_t host_step = host_us - host_us_;
    // Unsigned difference: right across the wrap.
    const std::int64_t stamp_step = stamp_ ? std::int64_t{static_cast<std::uint32_t>(*stamp - *stamp_)} : 0;
    if (!stamp_ || host_step > kIdle_us) {
      stamped_us_ = host_us;
    } else if (trusted_) {
      follow(host_us, host_step, stamp_step);
    } else {
      stamped_us_ = host_us;
      compare(host_step, stamp_step);
    }
    stamp_ = stamp;
    host_us_ = host_us;
    if (trusted_) frame_us = stamped_us_;
  }
  given_us_ = std::max(given_us_, frame_us);
  return given_us_;
}

void FrameClock::compare(std::int64_t host_step, std::int64_t stamp_step) {
  if (std::abs(stamp_step - host_step) > kApart_us) {
    agreed_ = 0;
    host_sum_ = stamp_sum_ = 0;
    return;
  }
  host_sum_ += host_step;
  stamp_sum_ += stamp_step;
  if (++agreed_ < kProof) return;
  if (std::abs(stamp_sum_ - host_sum_) <= host_sum_ / 20 + 2000)
    trusted_ = true;
  else
    ++strikes_;
  agreed_ = 0;
  host_sum_ = stamp_sum_ = 0;
}

void FrameClock::follow(std::int64_t host_us, std::int64_t host_step, std::int64_t stamp_step) {
  const std::int64_t next_us = stamped_us_ + stamp_step;
  const std::int64_t apart_us = host_us - next_us;
  // The host may be late and catch up; a stamp that runs ahead of it is wrong.
  if (std::abs(apart_us) > kFar_us || stamp_step > host_step + kFar_us) {
    distrust();
    stamped_us_ = host_us;
    return;
  }
  stamped_us_ = std::max(stamped_us_, next_us + apart_us / kPull);
}

void FrameClock::distrust() {
  trusted_ = false;
  ++strikes_;
}

void FrameClock::restart() { stamp_.reset(); }

}  // namespace paneproof
