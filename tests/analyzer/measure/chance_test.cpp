// Reference: GSL, the GNU Scientific Library (gsl_cdf_poisson_Q, gsl_cdf_binomial_Q).
#include "analyzer/measure/chance.hpp"

#include <gsl/gsl_cdf.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

namespace paneproof {

TEST_CASE("Poisson tails are GSL's") {
  for (const double mean : {0.01, 0.3, 1.0, 4.5, 30.0})
    for (const int n : {1, 2, 5, 12, 40}) {
      const double expected = gsl_cdf_poisson_Q(static_cast<unsigned>(n - 1), mean);
      if (expected < 1e-290 || expected > 1 - 1e-9) continue;
      INFO("mean " << mean << ", n " << n);
      CHECK(log_poisson_tail(n, mean) == Approx(std::log(expected)).epsilon(1e-6).margin(1e-9));
    }
}

TEST_CASE("binomial tails are GSL's") {
  for (const int n : {1, 5, 18, 80, 20000})
    for (const double p : {0.05, 0.375, 0.8})
      for (int k = 1; k <= n; k += std::max(1, n / 80)) {
        const double expected = gsl_cdf_binomial_Q(static_cast<unsigned>(k - 1), p, static_cast<unsigned>(n));
        if (expected < 1e-290 || expected > 1 - 1e-9) continue;
        INFO("n " << n << ", p " << p << ", k " << k);
        CHECK(log_binomial_tail(k, n, p) == Approx(std::log(expected)).epsilon(1e-6).margin(1e-9));
      }
}

TEST_CASE("at least none is certain, more than all impossible") {
  CHECK(log_binomial_tail(0, 5, 0.3) == 0);
  CHECK(std::isinf(log_binomial_tail(6, 5, 0.3)));
}

}  // namespace paneproof
