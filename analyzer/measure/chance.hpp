// Chances, as natural logarithms: products of many small ones stay in range.
#pragma once

namespace paneproof {

// ln P(X >= n) for X Poisson with the given mean. 0 for n <= 0; minus infinity for n > 0 and mean <= 0.
double log_poisson_tail(int n, double mean);

}  // namespace paneproof
