#include "analyzer/measure/straightness.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "analyzer/measure/report_rate.hpp"

namespace paneproof {
namespace {

// One contact along x at an even rate; `across` gives y by time.
template <class Across>
Trace drag(double rate_hz, double speed_mm_s, int reports, Across across) {
  Trace trace;
  trace.panel.width_mm = 1e5;
  trace.panel.height_mm = 100;
  trace.sweeps.emplace_back();
  for (int i = 0; i < reports; ++i) {
    const double t_s = i / rate_hz;
    trace.reports.push_back({std::llround(t_s * 1e6), speed_mm_s * t_s, across(t_s), 0, 0});
  }
  trace.contacts.push_back({0, static_cast<std::uint32_t>(reports), 0, Ending::lifted, Tool::finger});
  return trace;
}

Jitter jitter_of(const Trace& trace) {
  return straightness(trace, std::vector<std::uint8_t>(trace.contacts.size(), 1),
                      usual_intervals_s(trace, report_rate(trace)), {});
}

Trace resting(const std::vector<double>& x, const std::vector<double>& y) {
  Trace trace;
  trace.panel.width_mm = trace.panel.height_mm = 1e8;
  trace.sweeps.emplace_back();
  for (std::size_t i = 0; i < x.size(); ++i)
    trace.reports.push_back({static_cast<std::int64_t>(i) * 8333, x[i], y[i], 0, 0});
  trace.contacts.push_back({0, static_cast<std::uint32_t>(x.size()), 0, Ending::lifted, Tool::finger});
  return trace;
}

}  // namespace

// Savitzky and Golay, Anal. Chem. 36 (1964) 1627, table I, quadratic, as reprinted by chemgapedia.
TEST_CASE("the weights are the published ones") {
  const std::vector<std::pair<std::vector<double>, double>> tables = {
      {{-3, 12, 17, 12, -3}, 35},
      {{-2, 3, 6, 7, 6, 3, -2}, 21},
      {{-21, 14, 39, 54, 59, 54, 39, 14, -21}, 231},
  };
  for (const auto& [table, norm] : tables) {
    const std::vector<double> weights = quadratic_weights(static_cast<int>(table.size()));
    REQUIRE(weights.size() == table.size());
    for (std::size_t k = 0; k < table.size(); ++k) CHECK(weights[k] == Approx(table[k] / norm).margin(1e-12));
  }
}

TEST_CASE("the weights keep any parabola") {
  for (const int window : {5, 7, 9, 11, 13, 15}) {
    const std::vector<double> weights = quadratic_weights(window);
    double sum = 0, first = 0, second = 0;
    for (int k = 0; k < window; ++k) {
      const double x = k - window / 2;
      sum += weights[k], first += weights[k] * x, second += weights[k] * x * x;
    }
    CHECK(sum == Approx(1));
    CHECK(first == Approx(0).margin(1e-12));
    CHECK(second == Approx(0).margin(1e-11));
  }
}

// Pearson, Phil. Mag. 2 (1901) 559, the worked example (data as in York 1966); sums recomputed to ten
// digits: slope -0.5455611975, sum of squared distances 0.6185727594, largest distance 0.4246118711.
TEST_CASE("the line fitted across is Pearson's") {
  const Point points[] = {{0, 5.9},   {.9, 5.4},  {1.8, 4.4}, {2.6, 4.6}, {3.3, 3.5},
                          {4.4, 3.7}, {5.2, 2.8}, {6.1, 2.8}, {6.5, 2.4}, {7.4, 1.5}};
  const LineFit fit = fit_line(points, 10);
  CHECK(std::tan(fit.angle_rad) == Approx(-0.5455611975).epsilon(1e-9));
  CHECK(fit.rms_mm == Approx(0.2487112300).epsilon(1e-9));
  CHECK(fit.largest_mm == Approx(0.4246118711).epsilon(1e-9));
}

TEST_CASE("the fitted line turns with its points") {
  std::mt19937_64 random(3);
  std::normal_distribution<double> normal(0, 0.3);
  std::vector<Point> points;
  for (int i = 0; i < 40; ++i) points.push_back({i * 0.8, normal(random)});
  const LineFit flat = fit_line(points.data(), points.size());
  for (int degrees = 10; degrees < 180; degrees += 17) {
    const double c = std::cos(degrees * 0.017453292519943295), s = std::sin(degrees * 0.017453292519943295);
    std::vector<Point> turned;
    for (const Point& p : points)
      turned.push_back({c * p.x_mm - s * p.y_mm + 50, s * p.x_mm + c * p.y_mm + 50});
    const LineFit fit = fit_line(turned.data(), turned.size());
    CHECK(fit.rms_mm == Approx(flat.rms_mm).epsilon(1e-9));
    CHECK(fit.largest_mm == Approx(flat.largest_mm).epsilon(1e-9));
  }
}

// White noise of a known size: 20,000 reports leave a sampling error of the RMS under 0.8 %.
TEST_CASE("jitter of a moving finger is the size of the noise, within 3 percent") {
  const double rate_hz = GENERATE(60.0, 90.0, 120.0, 180.0, 240.0);
  const double sigma_mm = GENERATE(0.05, 0.2, 0.5);
  const std::uint64_t seed = 11;
  INFO("seed " << seed << ", rate " << rate_hz << ", sigma " << sigma_mm);
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal(0, sigma_mm);
  const Jitter jitter = jitter_of(drag(rate_hz, 90, 20'000, [&](double) { return 50 + normal(random); }));
  CHECK(jitter.rms_mm == Approx(sigma_mm).epsilon(0.03).margin(0.0005));
  CHECK(jitter.p95_mm ==
        Approx(1.959964 * sigma_mm).epsilon(0.04).margin(0.0005));  // normal: 95 % within 1.96 sigma
  CHECK(jitter.reports > 18'000);
}

TEST_CASE("a straight even drag has no jitter, nor has an even bend") {
  CHECK(jitter_of(drag(120, 90, 2000, [](double) { return 50.0; })).rms_mm == 0);
  CHECK(jitter_of(drag(120, 20, 200, [](double t) { return 50 + 10 * t * t; })).rms_mm < 0.0005 + 0.001);
}

// In bends the reports shake by 0.3 mm, on the straight ways between them not at all.
TEST_CASE("jitter is told of straight ways, and of all where there are few") {
  const auto bend = [](double t) {
    return 50 + 4 * std::sin(6.283185307179586 * 4 * t) + 0.3 * std::sin(6.283185307179586 * 29 * t);
  };
  const auto now_and_then = [&](double t) { return std::fmod(t, 2.0) < 1.2 ? 50.0 : bend(t); };
  const double of_all_mm = jitter_of(drag(60, 90, 50, bend)).rms_mm;
  CHECK(of_all_mm > 0.15);
  CHECK(jitter_of(drag(60, 90, 5000, now_and_then)).rms_mm < of_all_mm / 2);  // nearly straight where steep
}

// Smoothing firmware stretches noise over several reports; what the fit follows is not seen. Expected: the
// residual of the fit's weights under that correlation, rho to the power of the distance.
TEST_CASE("jitter of noise that is stretched is less by what the fit follows") {
  const double rho = GENERATE(0.3, 0.6), sigma_mm = 0.1;
  const std::vector<double> weights = quadratic_weights(9);  // 0.065 s at 120 Hz
  double left = 0;
  for (int a = 0; a < 9; ++a)
    for (int b = 0; b < 9; ++b)
      left += ((a == 4) - weights[a]) * ((b == 4) - weights[b]) * std::pow(rho, std::abs(a - b));
  const double expected_mm = sigma_mm * std::sqrt(left / (1 - weights[4]));
  std::mt19937_64 random(17);
  std::normal_distribution<double> normal(0, sigma_mm * std::sqrt(1 - rho * rho));
  double error = 0;
  const auto stretched = [&](double) { return 50 + (error = rho * error + normal(random)); };
  CHECK(jitter_of(drag(120, 90, 20'000, stretched)).rms_mm == Approx(expected_mm).epsilon(0.03));
  CHECK(expected_mm < (rho < 0.5 ? 0.9 : 0.7) * sigma_mm);
  CHECK(expected_mm > (rho < 0.5 ? 0.8 : 0.55) * sigma_mm);
}

// Tremor: 8 to 12 Hz (Lakie 2015; Sutton and Sykes 1967), finger about 0.03 mm, four to five times that
// with the arm stretched out (Growdon 2000): 0.15 mm is the most. A quadratic over 0.065 s spans most of a
// period of 12 Hz, so it keeps out less of that; 0.02 mm are left of the most there is, at 60 Hz 0.03 mm.
TEST_CASE("tremor adds little to jitter") {
  const double hz = GENERATE(8.0, 10.0, 12.0);
  const double amplitude_mm = 0.15, size_mm = amplitude_mm / std::sqrt(2.0);
  const auto tremor = [&](double t) { return 50 + amplitude_mm * std::sin(6.283185307179586 * hz * t); };
  CHECK(jitter_of(drag(240, 90, 5000, tremor)).rms_mm < 0.2 * size_mm);
  CHECK(jitter_of(drag(120, 90, 5000, tremor)).rms_mm < 0.2 * size_mm);
  CHECK(jitter_of(drag(60, 90, 5000, tremor)).rms_mm < 0.3 * size_mm);
}

TEST_CASE("a finger at rest adds nothing to the jitter of moving") {
  std::mt19937_64 random(5);
  std::normal_distribution<double> normal(0, 0.1);
  Trace trace = drag(120, 0, 2000, [&](double) { return 50 + normal(random); });
  CHECK(jitter_of(trace).reports == 0);
  CHECK(jitter_of(trace).rms_mm == 0);
}

// NIST StRD NumAcc4 (higher difficulty): 10000000.2, then 500 pairs .1, .3; certified standard deviation
// 0.1. As places in mm they are absurd, but the arithmetic is the certified one: squares summed in one
// pass give a negative variance here.
TEST_CASE("resting jitter keeps the digits of NIST's NumAcc4") {
  std::vector<double> data = {10000000.2};
  for (int i = 0; i < 500; ++i) data.push_back(10000000.1), data.push_back(10000000.3);
  const Jitter jitter = jitter_of(resting(data, data));
  REQUIRE(jitter.resting_rms_mm.has_value());
  CHECK(*jitter.resting_rms_mm == 0.1);
}

// NIST StRD Michelso (Michelson 1879, speed of light): certified mean 299.8524, standard deviation
// 0.0790105478190518, lag-1 autocorrelation 0.535199668621283; our copy of the data gives all three.
TEST_CASE("resting jitter is the standard deviation that NIST certifies for Michelson's data") {
  const int data[] = {850,  740, 900, 1070, 930, 850, 950, 980, 980, 880, 1000, 980, 930, 650, 760, 810, 1000,
                      1000, 960, 960, 960,  940, 960, 940, 880, 800, 850, 880,  900, 840, 830, 790, 810, 880,
                      880,  830, 800, 790,  760, 800, 880, 880, 880, 860, 720,  720, 620, 860, 970, 950, 880,
                      910,  850, 870, 840,  840, 850, 840, 840, 840, 890, 810,  810, 820, 800, 770, 760, 740,
                      750,  760, 910, 920,  890, 860, 880, 720, 840, 850, 850,  780, 890, 840, 780, 810, 760,
                      810,  790, 810, 820,  850, 870, 870, 810, 740, 810, 940,  950, 800, 810, 870};
  std::vector<double> x, y;
  for (const int v : data) x.push_back(299 + v / 1000.0);
  y.assign(x.rbegin(), x.rend());
  const Jitter jitter = jitter_of(resting(x, y));
  REQUIRE(jitter.resting_rms_mm.has_value());
  CHECK(*jitter.resting_rms_mm == 0.079);  // three decimals are printed
}

TEST_CASE("linearity is the middle of the largest distances from the line over straight stretches") {
  // A sine of 0.4 mm and a period of 60 mm bends a stretch of 30 mm by less than its amplitude.
  const Jitter bent = jitter_of(
      drag(120, 90, 5000, [](double t) { return 50 + 0.4 * std::sin(6.283185307179586 * 90 * t / 60); }));
  REQUIRE(bent.linearity_mm.has_value());
  CHECK(*bent.linearity_mm > 0.05);
  CHECK(*bent.linearity_mm < 0.4);
  const Jitter straight = jitter_of(drag(120, 90, 5000, [](double) { return 50.0; }));
  REQUIRE(straight.linearity_mm.has_value());
  CHECK(*straight.linearity_mm == 0);
}

TEST_CASE("a curved drag has no linearity") {
  Trace circle = drag(120, 90, 600, [](double) { return 50.0; });
  for (Report& r : circle.reports) {
    const double a = 90e-6 * static_cast<double>(r.t_us) / 15;
    r.x = 50 + 15 * std::cos(a), r.y = 50 + 15 * std::sin(a);
  }
  CHECK_FALSE(jitter_of(circle).linearity_mm.has_value());
}

}  // namespace paneproof
