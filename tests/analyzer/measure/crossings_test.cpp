// Reference: the densities of the GNU Scientific Library (gsl_ran_gaussian_pdf).
#include "analyzer/measure/crossings.hpp"

#include <gsl/gsl_randist.h>

#include <catch2/catch.hpp>
#include <cmath>

namespace paneproof {

TEST_CASE("a crossing is weighed by a library's densities") {
  for (const double way : {4.0, 10.0, 22.0})
    for (const double excess : {-15.0, -3.0, 0.0, 4.0, 8.5, 14.0}) {
      const double mean = 8.5 - 0.2 * std::max(0.0, way - 10);
      const double dead = 0.9 * gsl_ran_gaussian_pdf(excess - mean, 3 + 0.1 * way) + 0.1 / 60;
      const double hand = 0.3 * gsl_ran_gaussian_pdf(excess - 0.5, 3) + 0.7 / 60;
      CAPTURE(way, excess);
      CHECK(log_ahead({{way + excess, way, 0.2}}) == Approx(std::log(dead / hand)).margin(1e-9));
    }
}

TEST_CASE(
    "a gap longer than the finger's way by two pitches speaks for a dead place, one of just its way against "
    "it") {
  CHECK(log_ahead({{18, 10, 0.12}}) > 1);
  CHECK(log_ahead({{10, 10, 0.12}}) < -1);
  CHECK(log_ahead({}) == 0);
}

TEST_CASE("a touch far from where a finger ended, at once, is another finger's") {
  CHECK(log_ahead({{100, 1, 0.01}}) < 0);
}

TEST_CASE("no hand comes down far ahead of itself in less than 0.09 s") {
  CHECK(log_ahead({{24, 4, 0.02}}) > 2);
  CHECK(log_ahead({{24, 4, 0.3}}) < log_ahead({{24, 4, 0.02}}));
}

}  // namespace paneproof
