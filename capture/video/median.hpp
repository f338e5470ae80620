// The middle one of some values.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace paneproof::video {

// Of an even number the upper of the two in the middle; there must be one value at least.
inline double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace paneproof::video
