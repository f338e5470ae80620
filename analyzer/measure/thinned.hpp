// Every so manyth of a list that is longer than needed: so many settle it, and more would only take time.
#pragma once

#include <cstddef>
#include <vector>

namespace paneproof {

template <class T>
std::vector<T> thinned(std::vector<T> values, std::size_t most) {
  if (values.size() <= most) return values;
  for (std::size_t k = 0; k < most; ++k) values[k] = values[k * values.size() / most];
  values.erase(values.begin() + static_cast<std::ptrdiff_t>(most), values.end());
  return values;
}

}  // namespace paneproof
