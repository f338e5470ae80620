#include "analyzer/measure/report_rate.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

namespace paneproof {
namespace {

struct Frames {
  double rate_hz = 120;
  double scatter = 0;  // of an interval, normal
  double doubled = 0;  // share of intervals over a frame that was lost
};

// 20 contacts of 300 reports each.
Trace trace_of(const Frames& frames, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal(0, 1);
  std::uniform_real_distribution<double> even(0, 1);
  Trace trace;
  trace.sweeps.emplace_back();
  double t_s = 0;
  for (std::uint32_t c = 0; c < 20; ++c) {
    trace.contacts.push_back({c * 300, 300, 0, Ending::lifted, Tool::finger});
    for (int i = 0; i < 300; ++i) {
      trace.reports.push_back({std::llround(t_s * 1e6), i * 0.8, 7.0 * c, c, 0});
      const int steps = even(random) < frames.doubled ? 2 : 1;
      t_s += steps / frames.rate_hz * (1 + frames.scatter * normal(random));
    }
    t_s += 0.4;
  }
  return trace;
}

}  // namespace

TEST_CASE("the report rate is found within 0.5 percent under scatter and lost frames") {
  const double rate_hz = GENERATE(60.0, 90.0, 120.0, 144.0, 240.0);
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    INFO("seed " << seed << ", rate " << rate_hz);
    const ReportRate rate = report_rate(trace_of({rate_hz, 0.07, 0.10}, seed));
    CHECK(rate.rate_hz == Approx(rate_hz).epsilon(0.005));
    CHECK(rate.missed_share == Approx(0.1 / 1.1).margin(0.015));  // one of eleven frames
    CHECK(rate.intervals == 20 * 299);
    CHECK(rate.interval_p05_s <= rate.interval_median_s);
    CHECK(rate.interval_median_s <= rate.interval_p95_s);
    CHECK(rate.interval_median_s == Approx(1 / rate_hz).epsilon(0.03));
  }
}

TEST_CASE("an even rate is found to its printed decimal and misses nothing") {
  const double rate_hz = GENERATE(60.0, 100.0, 120.0, 240.0);
  const ReportRate rate = report_rate(trace_of({rate_hz, 0, 0}, 1));
  CHECK(rate.rate_hz == Approx(rate_hz).margin(0.1));
  CHECK(rate.missed_share == 0);
}

TEST_CASE("a finger that rests does not slow the rate") {
  Trace trace = trace_of({120, 0.05, 0}, 4);
  for (std::size_t i = 0; i < trace.reports.size(); ++i)
    trace.reports[i].t_us += static_cast<std::int64_t>(i / 100) * 1'000'000;
  CHECK(report_rate(trace).rate_hz == Approx(120).epsilon(0.005));
}

TEST_CASE("too few intervals tell no rate") {
  Trace trace = trace_of({120, 0, 0}, 1);
  trace.reports.resize(6);
  trace.contacts = {{0, 6, 0, Ending::lifted, Tool::finger}};
  const ReportRate rate = report_rate(trace);
  CHECK(rate.rate_hz == 0);
  CHECK(rate.intervals == 5);
  CHECK(report_rate(Trace{}).rate_hz == 0);
  CHECK(usual_intervals_s(Trace{}, report_rate(Trace{})).empty());
}

TEST_CASE("each long contact keeps its own usual interval, short ones take the sweep's") {
  Trace trace = trace_of({120, 0, 0}, 1);
  for (std::uint32_t i = 300; i < 600; ++i)
    trace.reports[i].t_us = trace.reports[300].t_us + (i - 300) * 4000;  // 250 Hz
  trace.contacts.back().count = 4;
  trace.reports.resize(trace.reports.size() - 296);
  const std::vector<double> usual = usual_intervals_s(trace, report_rate(trace));
  CHECK(usual[0] == Approx(1 / 120.0).epsilon(0.01));
  CHECK(usual[1] == Approx(0.004).epsilon(0.01));
  CHECK(usual.back() == Approx(1 / 120.0).epsilon(0.01));
}

TEST_CASE("points that arrive once a displayed frame are told as such") {
  Trace trace = trace_of({60, 0, 0}, 1);
  trace.sweeps.front().limited_by_source = true;
  CHECK(report_rate(trace).limited_by_source);
}

}  // namespace paneproof
