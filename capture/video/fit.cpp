// Where a model is in a picture (model.hpp).
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstring>

#include "capture/video/four.hpp"
#include "capture/video/sample.hpp"

namespace paneproof::video {
namespace {

constexpr double cap = 40;   // levels: what lies further off does not belong to the thing
constexpr double fade = 12;  // levels: a misfit of this counts half

// Solves h d = g in place for four unknowns; false when it cannot.
bool solve(std::array<std::array<double, 4>, 4> h, std::array<double, 4>& g) {
  for (int k = 0; k < 4; ++k) {
    if (h[k][k] < 1e-9) return false;
    for (int i = k + 1; i < 4; ++i) {
      const double f = h[i][k] / h[k][k];
      for (int j = k; j < 4; ++j) h[i][j] -= f * h[k][j];
      g[i] -= f * g[k];
    }
  }
  for (int k = 3; k >= 0; --k) {
    for (int j = k + 1; j < 4; ++j) g[k] -= h[k][j] * g[j];
    g[k] /= h[k][k];
  }
  return true;
}

}  // namespace

Fit Model::refine(const Plane& plane, const Pose& guess) const {
  Fit fit;
  fit.pose = guess;
  if (deciding_.size() < 20) return fit;
  const float most_x = static_cast<float>(plane.width) - 1.0f,
              most_y = static_cast<float>(plane.height) - 1.0f;
  std::array<std::array<double, 4>, 4> h{};
  const double reach = spread_out_;
  for (int turn = 0; turn < 12; ++turn) {
    const Pose& p = fit.pose;
    const Turned t(p);
    // Lenient at first: far from the place misfits are no sign of a cover.
    const float fade2 = static_cast<float>((turn < 3 ? 9 : 1) * fade * fade);
    const float px = static_cast<float>(p.x), py = static_cast<float>(p.y),
                inverse = static_cast<float>(1 / p.scale), cc = t.c * inverse, ss = t.s * inverse;
    Four hh4[10] = {}, gg4[4] = {}, sum4{}, all4{}, inside4{}, covered4{};
    Four cn4{}, ct4{}, ci4{}, ctt4{}, cii4{}, cti4{};
    for (const Packed& d : packed_) {
      const Four x = px + t.c * d.u - t.s * d.v, y = py + t.s * d.u + t.c * d.v;
      all4 += d.weight;
      const FourInts in = (x >= 0.5F) & (y >= 0.5F) & (x < most_x) & (y < most_y);
      const bool whole = which(in) == 15;
      const Four seen = whole ? sample(plane, x, y) : sample(plane, in ? x : four(0.5F), in ? y : four(0.5F)),
                 r = seen - d.value, off = absolute(r), weight = in ? d.weight : Four{};
      const Four a = d.value - 128, b = seen - 128, near = off < static_cast<float>(cap) ? weight : Four{};
      cn4 += near, ct4 += near * a, ci4 += near * b, ctt4 += near * a * a, cii4 += near * b * b,
          cti4 += near * a * b;
      inside4 += weight;
      sum4 += weight * lesser(off, four(cap));
      covered4 += off > 25 ? weight : Four{};
      // At a sharp edge much is off by a small shift: that is no cover either.
      const Four faded = turn < 3 ? fade2 + d.slack * d.slack : four(fade2),
                 w = weight * faded / (faded + r * r);
      const Four j0 = (cc * d.slope_x - ss * d.slope_y) * inverse,
                 j1 = (ss * d.slope_x + cc * d.slope_y) * inverse,
                 j2 = (d.slope_x * d.u + d.slope_y * d.v) * inverse, j3 = d.slope_y * d.u - d.slope_x * d.v;
      const Four w0 = w * j0, w1 = w * j1, w2 = w * j2, w3 = w * j3;
      hh4[0] += w0 * j0, hh4[1] += w0 * j1, hh4[2] += w0 * j2, hh4[3] += w0 * j3;
      hh4[4] += w1 * j1, hh4[5] += w1 * j2, hh4[6] += w1 * j3;
      hh4[7] += w2 * j2, hh4[8] += w2 * j3, hh4[9] += w3 * j3;
      gg4[0] += w0 * r, gg4[1] += w1 * r, gg4[2] += w2 * r, gg4[3] += w3 * r;
    }
    float hh[10], gg[4];
    for (int k = 0; k < 10; ++k) hh[k] = sum(hh4[k]);
    for (int k = 0; k < 4; ++k) gg[k] = sum(gg4[k]);
    const double total = sum(sum4), all = sum(all4), inside = sum(inside4), covered = sum(covered4);
    const float cn = sum(cn4), ct = sum(ct4), ci = sum(ci4), ctt = sum(ctt4), cii = sum(cii4),
                cti = sum(cti4);
    const double vt = ctt - ct * ct / std::max(cn, 1e-6f), vi = cii - ci * ci / std::max(cn, 1e-6f),
                 c = cti - ct * ci / std::max(cn, 1e-6f);
    fit.alike = vt > 0 && vi > 0 ? c / std::sqrt(vt * vi) : 0;
    fit.plain = vt < 16 * cn;
    fit.visible = all > 0 ? (inside - covered) / all : 0;
    fit.misfit = inside > 0.1 * all ? total / inside : 1e9;
    if (inside < 0.12 * all) break;
    h = {{{hh[0], hh[1], hh[2], hh[3]},
          {hh[1], hh[4], hh[5], hh[6]},
          {hh[2], hh[5], hh[7], hh[8]},
          {hh[3], hh[6], hh[8], hh[9]}}};
    const double trust = 0.02 * (hh[0] + hh[4]) + 1;  // size and turn stay where they were unless told
    const double hold = trust * reach * reach * 0.3;
    // Of a part alone the size cannot be told from the place.
    const bool part = !sized_ || inside - covered < 0.65 * all;
    const double hold_turn = part ? 1e12 : 3 * hold, hold_size = part ? 1e12 : firm_ ? 20 * hold : hold;
    h[0][0] += 1, h[1][1] += 1, h[2][2] += hold_size, h[3][3] += hold_turn;
    std::array<double, 4> g{-gg[0], -gg[1], hold_size * (guess.scale - p.scale) - gg[2],
                            hold_turn * (0.8 * guess.turn - p.turn) - gg[3]};
    if (!solve(h, g)) break;
    const double length = std::hypot(g[0], g[1]);
    const double brake = length > 3 ? 3 / length : 1;
    fit.pose.x += brake * g[0], fit.pose.y += brake * g[1];
    fit.pose.scale =
        std::clamp(fit.pose.scale + std::clamp(brake * g[2], -0.05, 0.05), smallest_scale, largest_scale);
    fit.pose.turn = std::clamp(fit.pose.turn + std::clamp(brake * g[3], -0.05, 0.05), -0.35, 0.35);
    if (length < 0.01 && std::abs(g[2]) * reach < 0.02) {
      if (turn >= 3) break;
      turn = 2;
    }
  }
  const double noise = std::max(1.0, fit.misfit);
  // By what the picture tells, without the 1 that keeps it where it was.
  const double told_x = h[0][0] - 1, told_y = h[1][1] - 1;
  fit.sd = told_x > 0 && told_y > 0 ? std::min(9.0, noise * std::sqrt((1 / told_x + 1 / told_y) / 2)) : 9;
  const bool near = fit.misfit < std::max(5.0, std::min(16.0, 0.45 * contrast_ + 2)) &&
                    (fit.alike > 0.7 || (fit.plain && fit.misfit < 3 && fit.sd < 1));
  fit.good = fit.visible > 0.1 && (near || (fit.misfit < 11 && fit.alike > 0.75 && fit.visible > 0.6));
  return fit;
}

double Model::misfit_at(const Plane& plane, const std::vector<Spot>& spots, float x, float y, int at,
                        double limit, bool rather_inside) const {
  const float least_x = 0.5F - x, least_y = 0.5F - y, most_x = static_cast<float>(plane.width) - 1.0F - x,
              most_y = static_cast<float>(plane.height) - 1.0F - y;
  const std::uint8_t* luma = plane.luma.data() + at;
  const auto most = static_cast<float>(limit * static_cast<double>(spots.size()));
  float sum = 0, all = 0, inside = 0;
  for (const Spot& s : spots) {
    all += s.weight;
    if (!(s.x >= least_x && s.y >= least_y && s.x < most_x && s.y < most_y)) continue;
    inside += s.weight;
    sum += s.weight *
           static_cast<float>(std::clamp(std::abs(luma[s.at] - s.value) - s.slack, 0, static_cast<int>(cap)));
    if (sum > most) return 1e9;
  }
  if (inside < 0.25F * all) return 1e9;
  return sum / inside * (rather_inside ? all / inside : 1);
}

namespace {

using Eight = std::int16_t __attribute__((vector_size(16)));

// By how much a spot is off in eight places, two px from one to the next, from `luma` on.
template <class Spot>
std::array<Four, 2> off_in_eight(const std::uint8_t* luma, const Spot& s) {
  Eight seen;
  std::memcpy(&seen, luma, sizeof seen);
  static_assert(std::endian::native == std::endian::little);
  seen &= 255;  // every second byte
  const Eight apart = seen - static_cast<std::int16_t>(s.value);
  Eight off = (apart < 0 ? -apart : apart) - static_cast<std::int16_t>(s.slack);
  off = off < 0 ? Eight{} : off;
  off = off > static_cast<std::int16_t>(cap) ? Eight{} + static_cast<std::int16_t>(cap) : off;
  const auto low = __builtin_shufflevector(off, Eight{}, 0, 8, 1, 8, 2, 8, 3, 8),
             high = __builtin_shufflevector(off, Eight{}, 4, 8, 5, 8, 6, 8, 7, 8);
  return {__builtin_convertvector(reinterpret_cast<FourInts>(low), Four),
          __builtin_convertvector(reinterpret_cast<FourInts>(high), Four)};
}

constexpr std::size_t some = 8;  // spots after which it is asked whether to go on

// Weighed misfits of eight places; given up, with what there is, once all are above `most`. All that is asked
// lies in the picture.
template <class Spot>
std::array<float, 8> misfits_of_eight(const std::uint8_t* luma, const std::vector<Spot>& spots, float most) {
  Four left{}, right{};
  for (std::size_t k = 0; k < spots.size(); ++k) {
    const Spot& s = spots[k];
    const auto [low, high] = off_in_eight(luma + s.at, s);
    left += s.weight * low;
    right += s.weight * high;
    if (k % some == some - 1 && which((left > most) & (right > most)) == 15) break;
  }
  return {left[0], left[1], left[2], left[3], right[0], right[1], right[2], right[3]};
}

// As misfit_at tells them, of eight places from (x, y) on, whose first px is `at`, of which a part may lie
// outside the picture.
template <class Spot>
std::array<float, 8> misfits_at_side(const Plane& plane, const std::vector<Spot>& spots, double x, float y,
                                     int at, float most, float all) {
  std::array<Four, 2> least_x, most_x, sum{}, inside{};
  for (int k = 0; k < 8; ++k) {
    const auto place = static_cast<float>(x + 2 * k);
    least_x[k / 4][k % 4] = 0.5F - place;
    most_x[k / 4][k % 4] = static_cast<float>(plane.width) - 1.0F - place;
  }
  const float least_y = 0.5F - y, most_y = static_cast<float>(plane.height) - 1.0F - y;
  for (std::size_t k = 0; k < spots.size(); ++k) {
    const Spot& s = spots[k];
    if (s.y < least_y || s.y >= most_y) continue;
    const int from = at + s.at, end = static_cast<int>(plane.luma.size());
    std::array<std::uint8_t, 16> some_of{};  // at the picture's ends what lies beside it is not in memory
    const std::uint8_t* luma = some_of.data();
    if (from >= 0 && from + 16 <= end)
      luma = plane.luma.data() + from;
    else
      for (int i = 0; i < 16; ++i)
        if (from + i >= 0 && from + i < end) some_of[i] = plane.luma[from + i];
    const auto off = off_in_eight(luma, s);
    for (std::size_t h : {0, 1}) {
      const Four weight = (s.x >= least_x[h]) & (s.x < most_x[h]) ? four(s.weight) : Four{};
      sum[h] += weight * off[h], inside[h] += weight;
    }
    if (k % some == some - 1 && which((sum[0] > most) & (sum[1] > most)) == 15) break;
  }
  std::array<float, 8> misfits;
  for (int k = 0; k < 8; ++k) {
    const float in = inside[k / 4][k % 4], off = sum[k / 4][k % 4];
    misfits[k] = in < 0.25F * all || off > most ? 1e9F : off / in * (all / in);
  }
  return misfits;
}

}  // namespace

Fit Model::search(const Plane& plane, const Pose& guess, int reach, const Care& care) const {
  if (few_.empty()) return {};
  struct Place {
    double misfit, x, y;
  };
  std::vector<Place> best;
  // Whole pixels from one place to the next: each of the few lies as far from the place in all of them.
  const Turned t(guess);
  std::vector<Spot> spots;
  for (const Deciding& d : few_) {
    const float x = t.c * d.u - t.s * d.v, y = t.s * d.u + t.c * d.v;
    const int at =
        static_cast<int>(std::floor(guess.y + y)) * plane.width + static_cast<int>(std::floor(guess.x + x));
    const float slack = (care.every_px ? 0.35F : 0.7F) * std::max(std::abs(d.slope_x), std::abs(d.slope_y));
    spots.push_back({x, y, d.weight, at, static_cast<int>(d.value), std::min(30, static_cast<int>(slack))});
  }
  std::vector<Spot> sharp = spots;
  for (Spot& s : sharp) s.slack = 0;
  double least = cap;
  const int step = 2;
  const auto consider = [&](int dx, int dy, double misfit) {
    const double m = misfit + 0.004 * std::hypot(dx, dy);
    if (m > least * 1.3) return;
    least = std::min(least, m);
    best.push_back({m, guess.x + dx, guess.y + dy});
  };
  const auto barred = [&](int dx, int dy) { return care.barred && care.barred(guess.x + dx, guess.y + dy); };
  float all = 0, x0 = 0, y0 = 0, x1 = 0, y1 = 0;
  for (const Spot& s : spots) {
    all += s.weight;
    x0 = std::min(x0, s.x), y0 = std::min(y0, s.y), x1 = std::max(x1, s.x), y1 = std::max(y1, s.y);
  }
  for (int dy = -reach; dy <= reach; dy += care.every_px ? 1 : step) {
    const double y = guess.y + dy;
    if (y < 0 || y > plane.height) continue;
    const bool inside = y + y0 >= 1 && y + y1 < plane.height - 2;
    for (int from = -reach; from <= -reach + (care.every_px ? 1 : 0); ++from)
      for (int dx = from; dx <= reach; dx += step) {
        const double x = guess.x + dx;
        const bool eight = dx + 7 * step <= reach,
                   whole = inside && x + x0 >= 1 && x + 7 * step + x1 < plane.width - 2;
        if (eight && (whole || care.every_px)) {
          std::array<bool, 8> may;
          for (int k = 0; k < 8; ++k)
            may[k] = x + k * step >= 0 && x + k * step <= plane.width && !barred(dx + k * step, dy);
          if (std::any_of(may.begin(), may.end(), [](bool m) { return m; })) {
            const auto most = static_cast<float>(least * 1.3 * static_cast<double>(spots.size()));
            const int at = dy * plane.width + dx;
            auto misfits = whole ? misfits_of_eight(plane.luma.data() + at, spots, most)
                                 : misfits_at_side(plane, spots, x, static_cast<float>(y), at, most, all);
            for (int k = 0; k < 8; ++k)
              if (may[k] && misfits[k] <= most) consider(dx + k * step, dy, misfits[k] / (whole ? all : 1));
          }
          dx += 7 * step;
        } else if (x >= 0 && x <= plane.width && !barred(dx, dy)) {
          consider(dx, dy,
                   misfit_at(plane, spots, static_cast<float>(x), static_cast<float>(y),
                             dy * plane.width + dx, least * 1.3, care.every_px));
        }
      }
  }
  std::sort(best.begin(), best.end(), [](const Place& a, const Place& b) { return a.misfit < b.misfit; });
  Fit found;
  int tried = 0;
  std::vector<Place> seen;
  for (const Place& place : best) {
    if (std::any_of(seen.begin(), seen.end(),
                    [&](const Place& s) { return std::hypot(s.x - place.x, s.y - place.y) < 5; }))
      continue;
    seen.push_back(place);
    // A drawing of thin lines fits where it is to a px, and nowhere else.
    Pose from = guess;
    double least_here = 1e9;
    for (int dy = -1; dy <= 1; ++dy)
      for (int dx = -1; dx <= 1; ++dx) {
        const double x = place.x + dx, y = place.y + dy;
        const int at = static_cast<int>(std::lround(y - guess.y)) * plane.width +
                       static_cast<int>(std::lround(x - guess.x));
        const double m =
            misfit_at(plane, sharp, static_cast<float>(x), static_cast<float>(y), at, cap, care.every_px);
        if (m < least_here) least_here = m, from.x = x, from.y = y;
      }
    const Fit fit = refine(plane, from);
    if (fit.misfit < found.misfit) found = fit;
    if (++tried == (care.every_px ? 8 : 4)) break;
  }
  return found;
}

}  // namespace paneproof::video
