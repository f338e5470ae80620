#include "analyzer/measure/chance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace paneproof {

double log_poisson_tail(int n, double mean) {
  if (n <= 0) return 0;
  if (mean <= 0) return -std::numeric_limits<double>::infinity();
  // P(X >= n) = sum over k >= n of e^-m m^k / k!. From the larger side's first term until the terms vanish.
  const double log_first = -mean + n * std::log(mean) - std::lgamma(n + 1.0);
  if (n > mean) {
    double sum = 1, ratio = 1;
    for (int k = n + 1; ratio > 1e-17; ++k) sum += ratio *= mean / k;
    return std::min(0.0, log_first + std::log(sum));
  }
  double below = 0, ratio = 1;
  for (int k = n; k > 0 && ratio > 1e-17; --k) below += ratio *= k / mean;
  return std::log1p(-std::min(1 - 1e-16, std::exp(log_first) * below));
}

}  // namespace paneproof
