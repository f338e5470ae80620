#include "analyzer/measure/repeats.hpp"

#include <gsl/gsl_cdf.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "analyzer/measure/chance.hpp"
#include "analyzer/measure/report_rate.hpp"
#include "analyzer/measure/roles.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

struct Told {
  std::vector<Silence> silences;
  std::vector<Repeat> repeats;
  int faults() const {
    int count = 0;
    for (const Repeat& repeat : repeats) count += repeat.fault;
    return count;
  }
};

Told told(const Trace& trace) {
  const Roles roles = contact_roles(trace);
  const ReportField field(trace, raster_over(trace.panel), roles.counts);
  Told out;
  out.silences = silences(trace, usual_intervals_s(trace, report_rate(trace)), roles.counts);
  out.repeats = repeats(trace, out.silences, field, 8);
  return out;
}

}  // namespace

// GNU Scientific Library: gsl_cdf_poisson_Q(k, mu) is P(X > k).
TEST_CASE("the Poisson tail is that of the GNU Scientific Library") {
  for (const double mean : {0.001, 0.05, 0.3, 1.0, 3.0, 7.5, 20.0, 60.0, 300.0, 1500.0})
    for (const int n : {1, 2, 3, 5, 8, 13, 21, 40, 80, 200, 400, 1600}) {
      const double theirs = gsl_cdf_poisson_Q(static_cast<unsigned>(n - 1), mean);
      if (theirs < 1e-290) continue;  // near the smallest double
      CAPTURE(mean, n, theirs);
      CHECK(log_poisson_tail(n, mean) == Approx(std::log(theirs)).epsilon(1e-7).margin(1e-9));
    }
}

TEST_CASE("the Poisson tail is a probability, falls with the count and grows with the mean") {
  CHECK(log_poisson_tail(0, 2.5) == 0);
  CHECK(log_poisson_tail(-3, 2.5) == 0);
  CHECK(log_poisson_tail(1, 0) == -std::numeric_limits<double>::infinity());
  for (const double mean : {1e-9, 0.01, 0.4, 2.0, 11.0, 90.0})
    for (int n = 1; n < 200; ++n) {
      const double here = log_poisson_tail(n, mean);
      if (!(here <= 0 && log_poisson_tail(n + 1, mean) <= here + 1e-12 &&
            log_poisson_tail(n, mean * 1.5) >= here - 1e-12)) {
        CAPTURE(mean, n, here);
        FAIL_CHECK("not monotone");
      }
    }
}

TEST_CASE("a band that every row loses is a fault, as many times as it was lost") {
  const Told t =
      told(SweepMaker(68, 142).noise(0.03, 5).rows(4).lose(box(30, 37, 0, 142), Lost::contact).trace());
  REQUIRE(t.silences.size() >= 30);
  CHECK(t.faults() == static_cast<int>(t.silences.size()));
  for (const Repeat& repeat : t.repeats) {
    CHECK(repeat.lost >= 2);
    CHECK(repeat.lost <= repeat.passages);
    CHECK(repeat.log_chance <= std::log(error_rate_of_sweep));
  }
}

TEST_CASE("one loss on one row is no fault") {
  const Told t =
      told(SweepMaker(68, 142).noise(0.03, 6).rows(4).lose(box(30, 37, 68, 71), Lost::contact).trace());
  CHECK(t.faults() == 0);
}

TEST_CASE("leaps that hang together all over the panel are no place that repeats") {
  const std::uint64_t seed = GENERATE(1, 2, 3);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  const auto upto = [&](double most) { return std::uniform_real_distribution<double>(0, most)(random); };
  const Trace trace = SweepMaker(68, 142).rows(60).trace();
  const std::vector<std::uint8_t> counts(trace.contacts.size(), 1);
  std::vector<Silence> scattered;
  for (int k = 0; k < 900; ++k) {
    Silence s;
    s.from = {upto(68), upto(142)};
    const double angle = upto(6.28);
    s.to = {s.from.x_mm + 12 * std::cos(angle), s.from.y_mm + 12 * std::sin(angle)};
    s.t_s = k, s.gap_s = s.interval_s = 1 / 120.0, s.gap_mm = 12, s.excess_mm = 11, s.speed_mm_s = 100;
    scattered.push_back(s);
  }
  int faults = 0;
  for (const Repeat& r : repeats(trace, scattered, ReportField(trace, raster_over(trace.panel), counts), 8))
    faults += r.fault;
  CHECK(faults <= 45);
}

TEST_CASE("losses at one spot of a column are no dead column, however many") {
  const bool apart = GENERATE(false, true);
  SweepMaker maker(68, 142);
  maker.noise(0.03, 7).rows(5);
  for (int k = 0; k < 3; ++k) {
    const double y = apart ? 21.5 + 40 * k : 71.5;
    maker.stroke({{1, y}, {67, y}}).lose_frames(38, 4, Lost::contact);
    for (int sound = 0; sound < 12; ++sound) maker.stroke({{1, y}, {67, y}});
  }
  bool column = false;
  for (const Repeat& repeat : told(maker.trace()).repeats) column |= repeat.over == Repeat::Over::column;
  CHECK(column == apart);
}

TEST_CASE("a long sweep is granted more silences than a short one") {
  const auto faults = [](int rounds) {
    SweepMaker maker(68, 142);
    maker.noise(0.03, 8).pace(120, 40);
    for (int k = 0; k < rounds; ++k) maker.rows(5);
    for (const double y : {60.5, 63.0}) {
      maker.pace(120, 100).stroke({{1, y}, {67, y}});
      maker.lose(box(33, 36.5, y - 0.4, y + 0.4), Lost::contact);
    }
    return told(maker.trace()).faults();
  };
  CHECK(faults(1) > 0);
  CHECK(faults(20) == 0);
}

TEST_CASE("a repeat's numbers are in order") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    INFO("seed " << seed);
    std::mt19937_64 random(seed);
    SweepMaker maker(68, 142);
    maker.noise(0.05, seed).rows(4).columns(6);
    for (int i = 0; i < 6; ++i)
      maker.lose(disc(static_cast<double>(random() % 68), static_cast<double>(random() % 142),
                      3 + static_cast<double>(random() % 5)),
                 random() % 2 ? Lost::contact : Lost::reports);
    const Told t = told(maker.trace());
    REQUIRE(t.repeats.size() == t.silences.size());
    for (const Repeat& repeat : t.repeats) {
      CHECK(repeat.log_chance <= 0);
      CHECK(repeat.lost >= 1);
      CHECK(repeat.passages >= repeat.lost);
      CHECK_FALSE((repeat.fault && repeat.cleared));
      CHECK_FALSE((repeat.log_chance <= std::log(error_rate_of_sweep) && repeat.cleared));
    }
  }
}

}  // namespace paneproof
