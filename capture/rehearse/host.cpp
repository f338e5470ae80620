#include "capture/rehearse/host.hpp"

#include <algorithm>

namespace paneproof {

std::vector<Delivery> deliver(const std::vector<std::int64_t>& times_us, double interval_us,
                              const HostSpec& host, Random random) {
  std::vector<Delivery> out;
  out.reserve(times_us.size());
  const double stalls_per_us = host.stalls_per_minute / 60e6;
  const auto next_stall = [&](double from) {
    return stalls_per_us > 0 ? from + random.exponential(stalls_per_us) : 1e18;
  };
  double stall_from = next_stall(0), stall_to = stall_from + random.uniform(30e3, 150e3);
  std::int64_t last = -1;
  for (std::size_t k = 0; k < times_us.size(); ++k) {
    const auto t = static_cast<double>(times_us[k]);
    const bool lost = random.chance(host.doubled);
    double stamp = t + interval_us * host.scatter * 0.70710678118654752 * random.normal();
    if (t > stall_to) {
      stall_from = next_stall(stall_to);
      stall_to = stall_from + random.uniform(30e3, 150e3);
    }
    if (t >= stall_from) {
      if (!host.stall_bunches) continue;
      stamp = stall_to + 300;
    }
    if (lost) continue;
    const auto whole =
        static_cast<std::int64_t>(std::floor(stamp / static_cast<double>(host.clock_us) + 0.5)) *
        host.clock_us;
    last = std::max(whole, last + host.clock_us);
    out.push_back({k, last});
  }
  return out;
}

}  // namespace paneproof
