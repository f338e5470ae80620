// How far values scatter, whatever a few of them do.
#pragma once

#include <vector>

namespace paneproof {

// The width of the middle half of the values as a standard deviation of normal ones: their interquartile
// range over 1.349 (textbook; from memory). Sorts them; 0 for none.
double scatter_of(std::vector<double>& values);

}  // namespace paneproof
