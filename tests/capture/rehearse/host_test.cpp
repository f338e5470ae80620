// What the host does to reports, against what real recordings show.
#include "capture/rehearse/host.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

using namespace paneproof;

namespace {

std::vector<std::int64_t> scans(double rate_hz, double seconds) {
  std::vector<std::int64_t> out;
  for (double t = 0; t < seconds; t += 1 / rate_hz) out.push_back(static_cast<std::int64_t>(t * 1e6));
  return out;
}

}  // namespace

TEST_CASE("timestamps rise") {
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    Random random(seed);
    const auto out = deliver(scans(240, 20), 1e6 / 240, draw_host(random), Random(seed, 5));
    INFO("seed " << seed);
    CHECK(std::adjacent_find(out.begin(), out.end(), [](const Delivery& a, const Delivery& b) {
            return b.stamp_us <= a.stamp_us || b.scan <= a.scan;
          }) == out.end());
  }
}

// Real drags (tests' data notice: evemu-devices recordings): standard deviation of single intervals 0.17 %
// of the interval on one panel, 0.6, 2.8, 5.8 and 7.1 % on others; 1 to 10 % of intervals doubled.
TEST_CASE("interval scatter and lost scans are those asked for") {
  for (const double scatter : {0.002, 0.006, 0.028, 0.07})
    for (const double doubled : {0.0, 0.01, 0.1}) {
      HostSpec host;
      host.scatter = scatter;
      host.doubled = doubled;
      host.stalls_per_minute = 0;
      const auto out = deliver(scans(135, 120), 1e6 / 135, host, Random(4));
      double sum = 0, squares = 0;
      int single = 0, twice = 0;
      for (std::size_t k = 1; k < out.size(); ++k) {
        const double interval = static_cast<double>(out[k].stamp_us - out[k - 1].stamp_us) * 135e-6;
        if (out[k].scan - out[k - 1].scan > 1) {
          ++twice;
          continue;
        }
        ++single;
        sum += interval;
        squares += interval * interval;
      }
      const double mean = sum / single;
      INFO("scatter " << scatter << ", doubled " << doubled);
      CHECK(std::sqrt(squares / single - mean * mean) == Approx(scatter).epsilon(0.1));
      CHECK(twice / static_cast<double>(single + twice) == Approx(doubled).margin(0.01));
    }
}

TEST_CASE("stalls last 30 to 150 ms, with reports lost or late") {
  for (const bool bunches : {false, true}) {
    HostSpec host;
    host.doubled = 0;
    host.stalls_per_minute = 20;
    host.stall_bunches = bunches;
    const auto times = scans(120, 120);
    const auto out = deliver(times, 1e6 / 120, host, Random(9));
    int stalls = 0;
    std::int64_t longest = 0;
    for (std::size_t k = 1; k < out.size(); ++k) {
      const std::int64_t interval = out[k].stamp_us - out[k - 1].stamp_us;
      stalls += interval > 25000;
      longest = std::max(longest, interval);
    }
    CHECK(stalls > 20);
    CHECK(longest < 170000);
    CHECK((out.size() == times.size()) == bunches);
  }
}
