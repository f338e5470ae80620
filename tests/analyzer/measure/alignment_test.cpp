#include "analyzer/measure/alignment.hpp"

#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <vector>

#include "tests/analyzer/measure/points.hpp"

namespace paneproof {
namespace {

const Panel panel = panel_of(70, 150);

// Crossings of a column strip, from x = 20 to 36, whose ends scatter about its borders.
std::vector<Arrival> arrivals_with(int crossings, double sd_mm, std::mt19937_64& random) {
  std::normal_distribution<double> scatter(0, sd_mm);
  std::vector<Arrival> arrivals;
  for (int k = 0; k < crossings; ++k) {
    arrivals.push_back({{20 + scatter(random), 10 + 5.0 * k}, 1, 0, false});
    arrivals.push_back({{36 + scatter(random), 10 + 5.0 * k}, -1, 0, true});
  }
  return arrivals;
}

struct Group {
  std::vector<double> ends;
  double sd_mm;
};

// Likelihood of a group whose border is anywhere about it, by the library's quadrature and density.
double by_library(const Group& group, double low_mm, double high_mm) {
  gsl_function f{[](double border, void* parameters) {
                   const Group& g = *static_cast<const Group*>(parameters);
                   double product = 1;
                   for (const double end : g.ends)
                     product *= 0.9 * gsl_ran_gaussian_pdf(end - border, g.sd_mm) + 0.1 / 12;
                   return product;
                 },
                 const_cast<Group*>(&group)};
  gsl_integration_workspace* space = gsl_integration_workspace_alloc(1000);
  double value = 0, error = 0;
  gsl_integration_qag(&f, low_mm, high_mm, 0, 1e-8, 1000, GSL_INTEG_GAUSS61, space, &value, &error);
  gsl_integration_workspace_free(space);
  return value / 12;
}

}  // namespace

// Outside check: the GNU Scientific Library integrates the same two explanations.
TEST_CASE("the factor is that of a numerical library's integrals") {
  const std::vector<double> x = {20.0, 20.4, 20.1, 21.9};
  std::vector<Arrival> arrivals;
  for (const double at : x) arrivals.push_back({{at, 40}, 1, 0, false});
  const double step_mm = 1.2;
  const auto mean = [&](std::initializer_list<double> sds) {
    double sum = 0;
    for (const double sd : sds) sum += by_library({x, std::sqrt(sd * sd + step_mm * step_mm / 12)}, 18, 23.9);
    return sum / static_cast<double>(sds.size());
  };
  const double expected = std::log(mean({0.1, 0.15, 0.22, 0.33, 0.5}) / mean({0.7, 1.0, 1.4, 2.0, 2.8}));
  CHECK(log_aligned(arrivals, panel, step_mm) == Approx(expected).margin(0.02));
}

TEST_CASE("hands that aim with 0.7 mm and more reach a factor of twenty in at most one case of twenty") {
  const std::uint64_t seed = GENERATE(1, 2, 3);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  int reached = 0;
  for (int k = 0; k < 200; ++k) {
    const double sd_mm =
        std::exp(std::uniform_real_distribution<double>(std::log(0.7), std::log(2.8))(random));
    reached += log_aligned(arrivals_with(2 + k % 9, sd_mm, random), panel, 0.5) >= std::log(20.0);
  }
  CHECK(reached <= 10);
}

TEST_CASE("eight crossings that end at electrodes are told from hands nearly always") {
  const std::uint64_t seed = GENERATE(1, 2, 3);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  int told = 0;
  for (int k = 0; k < 100; ++k)
    told += log_aligned(arrivals_with(8, 0.25, random), panel, 0.5) >= std::log(20.0);
  CHECK(told >= 95);
}

TEST_CASE("the further a finger moves between two reports, the less sharp ends tell") {
  const std::uint64_t seed = GENERATE(1, 2, 3, 4, 5);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  const std::vector<Arrival> arrivals = arrivals_with(6, 0.2, random);
  CHECK(log_aligned(arrivals, panel, 0.3) > log_aligned(arrivals, panel, 2.0));
  CHECK(log_aligned(arrivals, panel, 2.0) > log_aligned(arrivals, panel, 6.0));
}

TEST_CASE("fingers that stop at the frame, single arrivals and those that run askew tell nothing") {
  CHECK(log_aligned({}, panel, 1) == 0);
  CHECK(log_aligned({{{20, 40}, 1, 0, false}, {{36, 40}, -1, 0, true}}, panel, 1) == 0);
  std::vector<Arrival> at_frame, askew;
  for (double y = 20; y < 120; y += 5) {
    at_frame.push_back({{5, y}, -1, 0, false});
    askew.push_back({{30, y}, std::sqrt(0.5), std::sqrt(0.5), false});
  }
  CHECK(log_aligned(at_frame, panel, 1) == 0);
  CHECK(log_aligned(askew, panel, 1) == 0);
}

TEST_CASE("which way the panel is turned does not matter") {
  std::mt19937_64 random(9);
  const std::vector<Arrival> arrivals = arrivals_with(5, 0.4, random);
  std::vector<Arrival> turned;
  for (const Arrival& a : arrivals)
    turned.push_back({{a.place.y_mm, a.place.x_mm}, a.towards_y, a.towards_x, a.began});
  CHECK(log_aligned(turned, panel_of(150, 70), 0.5) == Approx(log_aligned(arrivals, panel, 0.5)));
}

}  // namespace paneproof
