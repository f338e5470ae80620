// The time of a frame: the host's, or the panel's own where it is told and behaves.
//
// A report's time is its SYN_REPORT's. Where the device also sends MSC_TIMESTAMP (microseconds since an
// arbitrary start, 32 bits, wraps, may start again at 0; kernel event-codes.rst, EV_MSC), the host's
// time carries the jitter of its bus and scheduler, the stamp does not. Rule:
// - 20 intervals in a row must agree with the host's within 10 ms each and their sum within 5 % + 2 ms
//   before stamps are used; intervals over 0.9 s are not compared (drivers restart their count there).
// - From then on time goes on by the stamps' differences, drawn to the host's time by 1/64 of what they
//   differ, so that the two clocks' drift does not add up.
// - A stamp that ends up over 100 ms from the host's time brings the host's time back and the proof starts
//   anew; after the third such failure (of the proof's sum or of the time) stamps are left alone for good.
// - Time never runs back.
#pragma once

#include <cstdint>
#include <optional>

namespace paneproof {

class FrameClock {
 public:
  // Time of a frame whose SYN_REPORT the host saw at host_us (never less than before).
  std::int64_t time(std::int64_t host_us, std::optional<std::uint32_t> stamp);
  // After lost events or a clock that stepped: no interval spans this.
  void restart();
  bool uses_stamps() const { return trusted_; }

 private:
  void compare(std::int64_t host_step, std::int64_t stamp_step);
  void follow(std::int64_t host_us, std::int64_t host_step, std::int64_t stamp_step);
  void distrust();

  std::int64_t given_us_ = 0, stamped_us_ = 0, host_us_ = 0;
  std::optional<std::uint32_t> stamp_;
  bool trusted_ = false;
  int agreed_ = 0, strikes_ = 0;
  std::int64_t host_sum_ = 0, stamp_sum_ = 0;
};

}  // namespace paneproof
