// The page: verdict and reasons above, the panel drawn to scale between its rulers, and the legend
// beside a tall panel or below a wide one.
#pragma once

#include "analyzer/report/check_result.hpp"
#include "analyzer/report/picture.hpp"

namespace paneproof {

// One scale in both directions, chosen so that the page is at most about 1200 units wide. The same
// result gives the same picture. A panel without a size is a caller's mistake.
Picture heatmap(const CheckResult& result);

// The bytes of the file.
std::string heatmap_png(const CheckResult& result);
std::string heatmap_svg(const CheckResult& result);

}  // namespace paneproof
