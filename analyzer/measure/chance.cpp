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

double log_binomial_tail(int k, int n, double p) {
  if (k <= 0) return 0;
  if (k > n) return -std::numeric_limits<double>::infinity();
  // As above: away from the mean the terms fall. C(n, i) p^i q^(n - i), its neighbours by their ratio.
  const double q = 1 - p;
  const auto log_term = [&](int i) {
    return std::lgamma(n + 1.0) - std::lgamma(i + 1.0) - std::lgamma(n - i + 1.0) + i * std::log(p) +
           (n - i) * std::log1p(-p);
  };
  double sum = 1, ratio = 1;
  if (k > n * p) {
    for (int i = k; i < n && ratio > 1e-17; ++i) sum += ratio *= (n - i) * p / ((i + 1) * q);
    return std::min(0.0, log_term(k) + std::log(sum));
  }
  for (int i = k - 1; i > 0 && ratio > 1e-17; --i) sum += ratio *= i * q / ((n - i + 1) * p);
  return std::log1p(-std::min(1 - 1e-16, std::exp(log_term(k - 1)) * sum));
}

}  // namespace paneproof
