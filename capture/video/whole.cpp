// The whole of what moves with a mover (seek.hpp).
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <utility>

#include "capture/video/seek.hpp"

namespace paneproof::video {
namespace {

int at(const Plane& plane, int x, int y) { return static_cast<int>(plane.row(y)[x]); }
bool inside(const Plane& plane, int x, int y) {
  return x >= 0 && y >= 0 && x < plane.width && y < plane.height;
}

// A mover's shift to a px, by what surely moved.
std::pair<int, int> shift_of(const Mover& mover, const Plane& earlier, const Plane& later) {
  int dx = 0, dy = 0, least = 1 << 30;
  const int mx = static_cast<int>(std::lround(mover.dx)), my = static_cast<int>(std::lround(mover.dy));
  for (int j = my - 2; j <= my + 2; ++j)
    for (int i = mx - 2; i <= mx + 2; ++i) {
      int sum = 0;
      for (int y = mover.box.y; y < mover.box.y + mover.box.height; ++y)
        for (int x = mover.box.x; x < mover.box.x + mover.box.width; ++x)
          sum += inside(later, x, y) && inside(later, x + i, y + j)
                     ? std::min(60, std::abs(at(earlier, x, y) - at(later, x + i, y + j)))
                     : 30;
      if (sum < least) least = sum, dx = i, dy = j;
    }
  return {dx, dy};
}

}  // namespace

Box whole_of(const Mover& mover, const Plane& earlier, const Plane& later) {
  const auto [dx, dy] = shift_of(mover, earlier, later);
  // Blocks in which much changed, and the shift explains it.
  constexpr int block = 4;
  const int columns = later.width / block, rows = later.height / block;
  const auto moved = [&, dx = dx, dy = dy](int column, int row) {
    int with = 0;
    for (int y = row * block; y < (row + 1) * block; ++y)
      for (int x = column * block; x < (column + 1) * block; ++x) {
        if (!inside(later, x - dx, y - dy)) continue;
        const int still = std::abs(at(later, x, y) - at(earlier, x, y)),
                  shifted = std::abs(at(later, x, y) - at(earlier, x - dx, y - dy));
        with += still > 5 && 2 * shifted < still;
      }
    return with >= 2;
  };
  Box box{mover.box.x + dx, mover.box.y + dy, mover.box.width, mover.box.height};
  const int gap = 4, most = later.width * 6 / 10;
  // As large as a card, it goes on into others that make room: what surely moved is of one thing.
  const bool large =
      10 * std::min(box.width, box.height) > 3 * later.width && std::max(box.width, box.height) < most;
  const Box otherwise = large ? box : Box{};
  for (bool grew = true; grew;) {
    grew = false;
    const int c0 = std::max(0, box.x / block - gap),
              c1 = std::min(columns - 1, (box.x + box.width - 1) / block + gap);
    const int r0 = std::max(0, box.y / block - gap),
              r1 = std::min(rows - 1, (box.y + box.height - 1) / block + gap);
    int x0 = box.x, y0 = box.y, x1 = box.x + box.width, y1 = box.y + box.height;
    for (int row = r0; row <= r1; ++row)
      for (int column = c0; column <= c1; ++column) {
        const int x = column * block, y = row * block;
        if (x >= x0 && y >= y0 && x + block <= x1 && y + block <= y1) continue;
        if (!moved(column, row)) continue;
        x0 = std::min(x0, x), y0 = std::min(y0, y), x1 = std::max(x1, x + block),
        y1 = std::max(y1, y + block);
        grew = true;
      }
    box = {x0, y0, x1 - x0, y1 - y0};
    if (box.height > most) return otherwise;
    if (box.width > most && (!is_row(box, later.width, later.height) || std::abs(dy) < 2 * std::abs(dx)))
      return otherwise;
  }
  if (box.width <= most) return box;
  // What comes in from beyond the picture is a banner. Behind a row flat ground that it uncovered looks as if
  // it had moved along.
  if (box.y < block || box.y + box.height > later.height - block) return {};
  const int behind = std::min(std::abs(dy), box.height / 2);
  return {box.x, dy > 0 ? box.y + behind : box.y, box.width, box.height - behind};
}

}  // namespace paneproof::video
