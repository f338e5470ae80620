#include "analyzer/measure/scatter.hpp"

#include <algorithm>

namespace paneproof {

double scatter_of(std::vector<double>& values) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  return (values[3 * values.size() / 4] - values[values.size() / 4]) / 1.349;
}

}  // namespace paneproof
