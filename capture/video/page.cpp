#include "capture/video/page.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace paneproof::video {
namespace {

constexpr int block = 8;  // px
constexpr int least_blocks = 12;
constexpr double differs = 3;  // levels, mean over a block: it changed

double difference(const Plane& a, int ax, int ay, const Plane& b, int bx, int by) {
  int sum = 0;
  for (int y = 0; y < block; ++y)
    for (int x = 0; x < block; ++x) sum += std::abs(a.row(ay + y)[ax + x] - b.row(by + y)[bx + x]);
  return static_cast<double>(sum) / (block * block);
}

}  // namespace

bool goes_with_page(const Plane& earlier, const Plane& later, double dx, double dy, const Box& own) {
  const int mx = static_cast<int>(std::lround(dx)), my = static_cast<int>(std::lround(dy));
  const int room = std::max(own.width, own.height) / 4 + block;
  int along = 0, otherwise = 0, x0 = later.width, y0 = later.height, x1 = 0, y1 = 0;
  for (int y = 0; y + block <= later.height; y += block)
    for (int x = 0; x + block <= later.width; x += block) {
      if (x + block > own.x - room && x < own.x + own.width + room && y + block > own.y - room &&
          y < own.y + own.height + room)
        continue;
      const double still = difference(later, x, y, earlier, x, y);
      if (still < differs) continue;
      double least = still;
      for (int j = -1; j <= 1; ++j)
        for (int i = -1; i <= 1; ++i) {
          const int ex = x - mx + i, ey = y - my + j;
          if (ex >= 0 && ey >= 0 && ex + block <= earlier.width && ey + block <= earlier.height)
            least = std::min(least, difference(later, x, y, earlier, ex, ey));
        }
      if (least > 0.4 * still) {
        ++otherwise;
        continue;
      }
      ++along;
      x0 = std::min(x0, x), y0 = std::min(y0, y), x1 = std::max(x1, x + block), y1 = std::max(y1, y + block);
    }
  return along >= least_blocks && 3 * along > otherwise && 2 * (x1 - x0) > later.width &&
         2 * (y1 - y0) > later.width;
}

}  // namespace paneproof::video
