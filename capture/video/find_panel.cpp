#include "capture/video/find_panel.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace paneproof::video {
namespace {

constexpr int angles = 360;             // half a degree each; the way outward, all round
constexpr double least_step = 6;        // levels over 2 px
constexpr std::size_t most_lines = 12;  // a direction

// x cos a + y sin a = rho; outward is (cos a, sin a), where it is darker.
struct Line {
  double angle, rho;
  int votes;
};

double at(const Plane& p, double x, double y) {
  const int i = std::clamp(static_cast<int>(x), 0, p.width - 1),
            j = std::clamp(static_cast<int>(y), 0, p.height - 1);
  return p.row(j)[i];
}

// Votes of what steps down outward, the strongest first, no two alike.
std::vector<Line> lines_of(const Plane& plane) {
  const int w = plane.width, h = plane.height, reach = static_cast<int>(std::hypot(w, h)) + 2;
  std::vector<std::uint16_t> votes(static_cast<std::size_t>(angles) * (2 * reach));
  const double unit = 2 * M_PI / angles;
  for (int y = 2; y < h - 2; ++y)
    for (int x = 2; x < w - 2; ++x) {
      const int gx = plane.row(y)[x + 1] - plane.row(y)[x - 1],
                gy = plane.row(y + 1)[x] - plane.row(y - 1)[x];
      if (gx * gx + gy * gy < least_step * least_step) continue;
      const double outward = std::atan2(-gy, -gx);
      const int middle = static_cast<int>(std::lround(outward / unit));
      for (int k = middle - 4; k <= middle + 4; ++k) {
        const double a = k * unit;
        const int rho =
            static_cast<int>(std::lround((x + 0.5) * std::cos(a) + (y + 0.5) * std::sin(a))) + reach;
        if (rho >= 0 && rho < 2 * reach)
          ++votes[static_cast<std::size_t>((k + angles) % angles) * (2 * reach) +
                  static_cast<std::size_t>(rho)];
      }
    }
  std::vector<Line> all;
  const int least = std::min(w, h) / 8;
  for (int k = 0; k < angles; ++k)
    for (int r = 1; r + 1 < 2 * reach; ++r) {
      const auto vote = [&](int a, int b) {
        return static_cast<int>(votes[static_cast<std::size_t>((a + angles) % angles) * (2 * reach) +
                                      static_cast<std::size_t>(b)]);
      };
      const int v = vote(k, r);
      if (v < least || v < vote(k, r - 1) || v <= vote(k, r + 1) || v < vote(k - 1, r) || v <= vote(k + 1, r))
        continue;
      all.push_back({k * unit, 1.0 * r - reach, v});
    }
  std::sort(all.begin(), all.end(), [](const Line& a, const Line& b) { return a.votes > b.votes; });
  return all;
}

std::optional<Corner> meet(const Line& a, const Line& b) {
  const double d = std::sin(b.angle - a.angle);
  if (std::abs(d) < 0.3) return std::nullopt;
  return Corner{(a.rho * std::sin(b.angle) - b.rho * std::sin(a.angle)) / d,
                (b.rho * std::cos(a.angle) - a.rho * std::cos(b.angle)) / d};
}

// Share of a side along which it is lighter inside.
double support(const Plane& plane, const Corner& a, const Corner& b) {
  const double length = std::hypot(b.x - a.x, b.y - a.y), ux = (b.x - a.x) / length,
               uy = (b.y - a.y) / length;
  const double nx = uy, ny = -ux;  // outward, when the corners run clockwise as seen
  int with = 0;
  constexpr int places = 60;
  for (int k = 0; k < places; ++k) {
    const double s = length * (0.03 + 0.94 * k / (places - 1)), x = a.x + s * ux, y = a.y + s * uy;
    bool any = false;
    for (int off = -1; off <= 1 && !any; ++off)
      any = at(plane, x + (off - 1.5) * nx, y + (off - 1.5) * ny) -
                at(plane, x + (off + 1.5) * nx, y + (off + 1.5) * ny) >
            least_step;
    with += any;
  }
  return static_cast<double>(with) / places;
}

double area_of(const Corners& c) {
  double sum = 0;
  for (std::size_t k = 0; k < 4; ++k) sum += c[k].x * c[(k + 1) % 4].y - c[(k + 1) % 4].x * c[k].y;
  return sum / 2;
}

}  // namespace

Corners settle_sides(const Plane& plane, const Corners& corners, double reach) {
  std::array<Line, 4> sides{};
  for (std::size_t k = 0; k < 4; ++k) {
    const Corner &a = corners[k], &b = corners[(k + 1) % 4];
    const double length = std::hypot(b.x - a.x, b.y - a.y), ux = (b.x - a.x) / length,
                 uy = (b.y - a.y) / length, nx = uy, ny = -ux;
    struct Found {
      double s, off;
    };
    std::vector<Found> found;
    const auto smooth = [&](double x, double y) {  // between pixel centres
      const double px = x - 0.5, py = y - 0.5, i = std::floor(px), j = std::floor(py), f = px - i, g = py - j;
      return (1 - g) * ((1 - f) * at(plane, i, j) + f * at(plane, i + 1, j)) +
             g * ((1 - f) * at(plane, i, j + 1) + f * at(plane, i + 1, j + 1));
    };
    for (double s = 0.04 * length; s < 0.96 * length; s += 2) {
      double sum = 0, with = 0, most = 0;
      for (double off = -reach; off <= reach; off += 0.5) {
        const double x = a.x + s * ux + off * nx, y = a.y + s * uy + off * ny;
        most = std::max(most, smooth(x - nx, y - ny) - smooth(x + nx, y + ny));
      }
      if (most < least_step) continue;
      for (double off = -reach; off <= reach; off += 0.25) {
        const double x = a.x + s * ux + off * nx, y = a.y + s * uy + off * ny,
                     step = smooth(x - nx, y - ny) - smooth(x + nx, y + ny);
        if (step > 0.5 * most) sum += step * off, with += step;
      }
      found.push_back({s, sum / with});
    }
    // A straight line through most of them.
    double at0 = 0, slope = 0;
    for (int turn = 0; turn < 6 && found.size() > 8; ++turn) {
      double n = 0, ss = 0, so = 0, m = 0, o = 0;
      for (const Found& f : found) {
        const double r = f.off - (turn ? at0 + slope * f.s : 0), w = 1 / (1 + r * r / (turn < 2 ? 4 : 0.25));
        n += w, m += w * f.s, o += w * f.off, ss += w * f.s * f.s, so += w * f.s * f.off;
      }
      const double d = n * ss - m * m;
      if (std::abs(d) < 1e-9) break;
      slope = (n * so - m * o) / d, at0 = (o - slope * m) / n;
    }
    const double ax = a.x + at0 * nx, ay = a.y + at0 * ny, bx = b.x + (at0 + slope * length) * nx,
                 by = b.y + (at0 + slope * length) * ny;
    const double angle = std::atan2(-(bx - ax), by - ay);
    sides[k] = {angle, ax * std::cos(angle) + ay * std::sin(angle), 0};
  }
  Corners settled = corners;
  for (std::size_t k = 0; k < 4; ++k)
    if (const auto corner = meet(sides[(k + 3) % 4], sides[k])) settled[k] = *corner;
  return settled;
}

bool grainy(const Plane& a, const Plane& b, const Corners& panel) {
  std::size_t all = 0, differ = 0;
  for (int y = 0; y < a.height && b.height == a.height && b.width == a.width; ++y)
    for (int x = 0; x < a.width; ++x) {
      bool inside = true;
      for (std::size_t k = 0; k < 4; ++k) {
        const Corner &p = panel[k], &q = panel[(k + 1) % 4];
        inside &= (q.x - p.x) * (y - p.y) - (q.y - p.y) * (x - p.x) > 0;
      }
      if (inside) continue;
      ++all, differ += a.row(y)[x] != b.row(y)[x];
    }
  return all > 100 && differ * 100 > all;
}

std::optional<Corners> find_panel(const Plane& plane) {
  const std::vector<Line> all = lines_of(plane);
  // Four ways outward, a quarter turn from one to the next, from about the picture's own.
  std::array<std::vector<Line>, 4> by_way;  // up, right, down, left
  for (const Line& line : all)
    for (std::size_t way = 0; way < 4; ++way) {
      const double from = std::remainder(line.angle - (static_cast<double>(way) - 1) * M_PI / 2, 2 * M_PI);
      if (std::abs(from) < 0.6 && by_way[way].size() < most_lines) by_way[way].push_back(line);
    }
  std::optional<Corners> best;
  double most = 0;
  const double whole = 1.0 * plane.width * plane.height;
  for (const Line& up : by_way[0])
    for (const Line& down : by_way[2]) {
      if (std::abs(std::remainder(up.angle + M_PI - down.angle, 2 * M_PI)) > 0.35) continue;
      for (const Line& left : by_way[3])
        for (const Line& right : by_way[1]) {
          if (std::abs(std::remainder(left.angle + M_PI - right.angle, 2 * M_PI)) > 0.35) continue;
          const auto a = meet(up, left), b = meet(up, right), c = meet(down, right), d = meet(down, left);
          if (!a || !b || !c || !d) continue;
          const Corners corners{*a, *b, *c, *d};
          const bool inside = std::all_of(corners.begin(), corners.end(), [&](const Corner& p) {
            return p.x > 1 && p.y > 1 && p.x < plane.width - 1 && p.y < plane.height - 1;
          });
          const double area = area_of(corners);
          if (!inside || area < 0.1 * whole) continue;
          double least = 1, sum = 0;
          for (std::size_t k = 0; k < 4 && least > 0.6; ++k) {
            const double with = support(plane, corners[k], corners[(k + 1) % 4]);
            least = std::min(least, with), sum += with / 4;
          }
          if (least < 0.6) continue;
          const double merit = sum * std::sqrt(std::sqrt(area / whole));
          if (merit > most) most = merit, best = corners;
        }
    }
  if (!best) return std::nullopt;
  const Corners settled = settle_sides(plane, *best, 3);
  // Sides that run exactly along the picture's are drawn.
  int leaning = 0;
  double sum = 0;
  for (std::size_t k = 0; k < 4; ++k) {
    const Corner &p = settled[k], &q = settled[(k + 1) % 4];
    leaning += std::min(std::abs(p.x - q.x), std::abs(p.y - q.y)) > 0.7;
    const double with = support(plane, p, q);
    sum += with / 4;
    if (with < 0.7) return std::nullopt;
  }
  if (leaning < 3 || sum < 0.9) return std::nullopt;
  return settled;
}

}  // namespace paneproof::video
