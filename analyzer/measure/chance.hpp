// Chances, as natural logarithms: products of many small ones stay in range.
#pragma once

namespace paneproof {

// ln P(X >= n) for X Poisson with the given mean. 0 for n <= 0; minus infinity for n > 0 and mean <= 0.
double log_poisson_tail(int n, double mean);

// ln P(X >= k) for X binomial: n tries of chance p, 0 < p < 1. 0 for k <= 0; minus infinity for k > n.
double log_binomial_tail(int k, int n, double p);

}  // namespace paneproof
