#include "capture/video/seek.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#ifdef __SSE2__
#include <emmintrin.h>
#endif

#include "capture/video/reduce.hpp"

namespace paneproof::video {
namespace {

constexpr int square = 8, step = 4;

// Sum of absolute differences of two squares of 8 x 8.
int difference(const Plane& a, int ax, int ay, const Plane& b, int bx, int by) {
#ifdef __SSE2__
  __m128i sum = _mm_setzero_si128();
  for (int y = 0; y < square; ++y)
    sum = _mm_add_epi64(sum,
                        _mm_sad_epu8(_mm_loadl_epi64(reinterpret_cast<const __m128i*>(a.row(ay + y) + ax)),
                                     _mm_loadl_epi64(reinterpret_cast<const __m128i*>(b.row(by + y) + bx))));
  return _mm_cvtsi128_si32(sum);
#else
  int sum = 0;
  for (int y = 0; y < square; ++y)
    for (int x = 0; x < square; ++x) sum += std::abs(a.row(ay + y)[ax + x] - b.row(by + y)[bx + x]);
  return sum;
#endif
}

// The same, or anything from `limit` on when it is not less.
int difference(const Plane& a, int ax, int ay, const Plane& b, int bx, int by, int limit) {
#ifdef __SSE2__
  const std::uint8_t *p = a.row(ay) + ax, *q = b.row(by) + bx;
  __m128i sum = _mm_setzero_si128();
  for (int y = 0; y < square; y += 2) {
    for (int k = 0; k < 2; ++k, p += a.width, q += b.width)
      sum = _mm_add_epi64(sum, _mm_sad_epu8(_mm_loadl_epi64(reinterpret_cast<const __m128i*>(p)),
                                            _mm_loadl_epi64(reinterpret_cast<const __m128i*>(q))));
    if (_mm_cvtsi128_si32(sum) >= limit) return limit;
  }
  return _mm_cvtsi128_si32(sum);
#else
  return std::min(limit, difference(a, ax, ay, b, bx, by));
#endif
}

struct Square {
  int x = 0, y = 0, dx = 0, dy = 0, group = -1;
  bool moved = false;
};

// How much a square differs from what is beside it in the direction in which it differs least: a flat square
// and one with a straight edge look the same further along, and prove no motion.
int distinct(const Plane& plane, const Square& s) {
  int least = 1 << 20;
  for (const auto& [dx, dy] :
       {std::pair{2, 0}, {-2, 0}, {0, 2}, {0, -2}, {2, 2}, {-2, -2}, {2, -2}, {-2, 2}}) {
    const int x = s.x + dx, y = s.y + dy;
    if (x < 0 || y < 0 || x + square > plane.width || y + square > plane.height) continue;
    least = std::min(least, difference(plane, s.x, s.y, plane, x, y));
  }
  return least;
}

bool find(const Plane& earlier, const Plane& later, int reach, Square& s) {
  const int still = difference(earlier, s.x, s.y, later, s.x, s.y);
  if (still < square * square * 2) return false;
  const int own = distinct(earlier, s);
  if (own < square * square * 2) return false;
  // What is no nearer than this is no find.
  int least = std::min(still, std::min((still * 2 + 4) / 5, (own + 1) / 2));
  for (int dy = -reach; dy <= reach; ++dy)
    for (int dx = -reach; dx <= reach; ++dx) {
      const int x = s.x + dx, y = s.y + dy;
      if (x < 0 || y < 0 || x + square > later.width || y + square > later.height) continue;
      const int d = difference(earlier, s.x, s.y, later, x, y, least);
      if (d < least) least = d, s.dx = dx, s.dy = dy;
    }
  return s.dx || s.dy;
}

Mover joined(const Mover& a, const Mover& b) {
  Mover both = a;
  const double n = a.squares + b.squares;
  both.dx = (a.dx * a.squares + b.dx * b.squares) / n, both.dy = (a.dy * a.squares + b.dy * b.squares) / n;
  both.squares += b.squares;
  both.pieces.insert(both.pieces.end(), b.pieces.begin(), b.pieces.end());
  const int x1 = std::max(a.box.x + a.box.width, b.box.x + b.box.width),
            y1 = std::max(a.box.y + a.box.height, b.box.y + b.box.height);
  both.box.x = std::min(a.box.x, b.box.x), both.box.y = std::min(a.box.y, b.box.y);
  both.box.width = x1 - both.box.x, both.box.height = y1 - both.box.y;
  return both;
}

int apart(const Box& a, const Box& b) {
  return std::max(std::max(a.x - b.x - b.width, b.x - a.x - a.width),
                  std::max(a.y - b.y - b.height, b.y - a.y - a.height));
}

// Neighbours that moved alike are one thing of which only the telling parts were seen. One that spans more
// than half of the width, or that is the lesser part of what moved alike over so much, is a page or a banner.
std::vector<Mover> things_of(const std::vector<Mover>& movers, int px, int width, int height, bool filmed) {
  const int gap = filmed ? 4 * width : width / 12;
  const auto alike = [&](const Mover& a, const Mover& b) {
    return std::hypot(a.dx - b.dx, a.dy - b.dy) <= 2.3 * px;
  };
  const auto wide = [&](const Box& box) { return box.width > width / 2 || box.height > width / 2; };
  std::vector<Mover> things;
  std::vector<bool> taken(movers.size(), false);
  for (std::size_t i = 0; i < movers.size(); ++i) {
    if (taken[i]) continue;
    Mover thing = movers[i];
    for (bool grew = true; grew;) {
      grew = false;
      for (std::size_t k = i + 1; k < movers.size(); ++k)
        if (!taken[k] && alike(thing, movers[k]) && apart(thing.box, movers[k].box) < gap)
          thing = joined(thing, movers[k]), taken[k] = grew = true;
    }
    things.push_back(thing);
  }
  for (Mover& thing : things) {
    Mover all = thing;
    for (const Mover& other : things)
      if (&other != &thing && alike(thing, other)) all = joined(all, other);
    const bool row = !filmed && is_row(all.box, width, height) && std::abs(thing.dy) > 2 * std::abs(thing.dx);
    thing.with_page = (wide(thing.box) && !row) || (wide(all.box) && 2 * all.squares > 5 * thing.squares);
  }
  return things;
}

}  // namespace

bool is_row(const Box& box, int width, int height) {
  return 2 * box.width > width && 5 * box.height < 2 * width && 10 * box.height < 3 * height;
}

void halve(const Plane& in, Plane& out) {
  out.width = in.width / 2, out.height = in.height / 2;
  out.luma.resize(static_cast<std::size_t>(out.width) * out.height);
  for (int y = 0; y < out.height; ++y) halve_rows(in.row(2 * y), in.row(2 * y + 1), out.row(y), out.width);
}

std::vector<Mover> seek(const Plane& earlier, const Plane& later, int px, int reach, bool filmed) {
  const int columns = (earlier.width - square) / step + 1, rows = (earlier.height - square) / step + 1;
  std::vector<Square> squares(static_cast<std::size_t>(std::max(0, columns)) * std::max(0, rows));
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) {
      Square& s = squares[static_cast<std::size_t>(j) * columns + i];
      s.x = i * step, s.y = j * step;
      s.moved = find(earlier, later, reach, s);
    }
  std::vector<Mover> movers;
  std::vector<int> open;
  for (std::size_t first = 0; first < squares.size(); ++first) {
    if (!squares[first].moved || squares[first].group >= 0) continue;
    const int group = static_cast<int>(movers.size());
    int x0 = 1 << 20, y0 = 1 << 20, x1 = 0, y1 = 0;
    Mover mover;
    open.assign(1, static_cast<int>(first));
    squares[first].group = group;
    while (!open.empty()) {
      const Square s = squares[open.back()];
      const int at = open.back();
      open.pop_back();
      ++mover.squares, mover.dx += s.dx, mover.dy += s.dy;
      mover.pieces.push_back({px * s.x, px * s.y, px * s.dx, px * s.dy});
      x0 = std::min(x0, s.x), y0 = std::min(y0, s.y), x1 = std::max(x1, s.x + square),
      y1 = std::max(y1, s.y + square);
      for (int dj = -2; dj <= 2; ++dj)
        for (int di = -2; di <= 2; ++di) {
          const int i = at % columns + di, j = at / columns + dj;
          if (i < 0 || j < 0 || i >= columns || j >= rows) continue;
          Square& n = squares[static_cast<std::size_t>(j) * columns + i];
          if (!n.moved || n.group >= 0 || std::abs(n.dx - s.dx) > 1 || std::abs(n.dy - s.dy) > 1) continue;
          n.group = group;
          open.push_back(j * columns + i);
        }
    }
    mover.dx *= static_cast<double>(px) / mover.squares, mover.dy *= static_cast<double>(px) / mover.squares;
    mover.box = {px * x0, px * y0, px * (x1 - x0), px * (y1 - y0)};
    movers.push_back(mover);
  }
  const int width = px * earlier.width;
  return things_of(movers, px, width, px * earlier.height, filmed);
}

int hand_side(const Plane& earlier, const Plane& later) {
  constexpr int strip = 8;
  const int w = later.width, h = later.height;
  double changed[4] = {};
  const auto add = [&](int side, int x, int y) {
    changed[side] += std::abs(earlier.row(y)[x] - later.row(y)[x]) > 8;
  };
  for (int k = 0; k < strip; ++k) {
    for (int x = 0; x < w; ++x) add(0, x, k), add(2, x, h - 1 - k);
    for (int y = 0; y < h; ++y) add(3, k, y), add(1, w - 1 - k, y);
  }
  changed[2] += 4;  // nothing to tell: most hands come from below
  return static_cast<int>(std::max_element(changed, changed + 4) - changed);
}

Mover fingertip(const Mover& mover, int side, int px, double size) {
  const auto from_side = [&](const Mover::Piece& p) {
    return side == 0 ? p.y : side == 1 ? -p.x : side == 2 ? -p.y : p.x;
  };
  const auto beside = [&](const Mover::Piece& p) { return side % 2 == 0 ? p.x : p.y; };
  std::vector<Mover::Piece> pieces = mover.pieces;
  std::sort(pieces.begin(), pieces.end(),
            [&](const auto& a, const auto& b) { return from_side(a) > from_side(b); });
  Mover tip;
  if (pieces.size() < 2) return tip;
  const int end = from_side(pieces[1]), middle = (beside(pieces[0]) + beside(pieces[1])) / 2;
  int x0 = 1 << 20, y0 = 1 << 20, x1 = 0, y1 = 0;
  for (const Mover::Piece& p : pieces) {
    if (from_side(p) < end - size || std::abs(beside(p) - middle) > size) continue;
    tip.pieces.push_back(p);
    ++tip.squares, tip.dx += p.dx, tip.dy += p.dy;
    x0 = std::min(x0, p.x), y0 = std::min(y0, p.y);
    x1 = std::max(x1, p.x + px * square), y1 = std::max(y1, p.y + px * square);
  }
  tip.dx /= tip.squares, tip.dy /= tip.squares;
  const int room_x = std::max(0, static_cast<int>(size) - (x1 - x0)) / 2,
            room_y = std::max(0, static_cast<int>(size) - (y1 - y0)) / 2;
  tip.box = {x0 - room_x, y0 - room_y, x1 - x0 + 2 * room_x, y1 - y0 + 2 * room_y};
  return tip;
}

}  // namespace paneproof::video
