#include "capture/video/model.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace paneproof::video {
namespace {

constexpr double cap = 40;   // levels: what lies further off does not belong to the thing
constexpr double fade = 12;  // levels: a misfit of this counts half
constexpr int most_deciding = 700, few_deciding = 120;

// Between pixel centres; the caller keeps x and y inside [0.5, size - 0.5).
float sample(const Plane& plane, float x, float y) {
  x -= 0.5f, y -= 0.5f;
  const int i = static_cast<int>(x), j = static_cast<int>(y);
  const float a = x - static_cast<float>(i), b = y - static_cast<float>(j);
  const std::uint8_t* p = plane.row(j) + i;
  const std::uint8_t* q = p + plane.width;
  const float top = static_cast<float>(p[0]) + a * static_cast<float>(p[1] - p[0]);
  const float low = static_cast<float>(q[0]) + a * static_cast<float>(q[1] - q[0]);
  return top + b * (low - top);
}

struct Turned {
  float c, s;
  explicit Turned(const Pose& pose)
      : c(static_cast<float>(pose.scale * std::cos(pose.turn))),
        s(static_cast<float>(pose.scale * std::sin(pose.turn))) {}
};

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

Model::Model(const Plane& plane, const Box& core, int margin)
    : width_(core.width + 2 * margin),
      height_(core.height + 2 * margin),
      origin_x_(width_ / 2.0),
      origin_y_(height_ / 2.0),
      core_{margin, margin, core.width, core.height},
      mean_(static_cast<std::size_t>(width_) * height_),
      square_(mean_.size()),
      count_(mean_.size()),
      last_x_(core.x + core.width / 2.0),
      last_y_(core.y + core.height / 2.0) {
  for (int y = 0; y < height_; ++y)
    for (int x = 0; x < width_; ++x) {
      const int px = core.x - margin + x, py = core.y - margin + y;
      if (px < 0 || py < 0 || px >= plane.width || py >= plane.height) continue;
      const std::size_t k = static_cast<std::size_t>(y) * width_ + x;
      mean_[k] = plane.row(py)[px];
      count_[k] = 1;
    }
  choose();
}

void Model::reframe(int x0, int y0, int width, int height) {
  const auto moved = [&](const auto& from) {
    std::decay_t<decltype(from)> to(static_cast<std::size_t>(width) * height);
    for (int y = std::max(0, -y0); y < height && y0 + y < height_; ++y)
      for (int x = std::max(0, -x0); x < width && x0 + x < width_; ++x)
        to[static_cast<std::size_t>(y) * width + x] =
            from[static_cast<std::size_t>(y0 + y) * width_ + x0 + x];
    return to;
  };
  mean_ = moved(mean_), square_ = moved(square_), count_ = moved(count_);
  width_ = width, height_ = height;
  origin_x_ -= x0, origin_y_ -= y0, core_.x -= x0, core_.y -= y0;
  choose();
}

std::pair<double, double> Model::middle() const {
  double x = 0, y = 0, n = 0;
  for (const Deciding& d : deciding_)
    if (d.slope_x != 0 || d.slope_y != 0) x += d.weight * d.u, y += d.weight * d.v, n += d.weight;
  return n > 0 ? std::pair{origin_x_ + x / n, origin_y_ + y / n} : std::pair{origin_x_, origin_y_};
}

void Model::move_origin(double x, double y) {
  origin_x_ += x, origin_y_ += y;
  choose();
}

void Model::trust(const Box& core, double corner) {
  core_ = core, corner_ = corner, firm_ = false;
  choose();
}

double Model::tried() const {
  if (way_.n < 2) return 0;
  const double xx = way_.xx / way_.n, xy = way_.xy / way_.n, yy = way_.yy / way_.n, half = (xx + yy) / 2;
  return std::sqrt(std::max(0.0, half - std::sqrt(std::max(0.0, half * half - (xx * yy - xy * xy)))));
}

void Model::take_as_known() {
  for (std::uint16_t& count : count_)
    if (count > 0) count = 3;
}

void Model::forget() {
  way_ = {};
  std::fill(square_.begin(), square_.end(), 0.0f);
  std::fill(count_.begin(), count_.end(), std::uint16_t{0});
  learnt_ = 0, chosen_at_ = 0;
  last_x_ = last_y_ = -1e9;
}

double Model::spread(int x, int y) const {
  const std::size_t k = static_cast<std::size_t>(y) * width_ + x;
  return count_[k] < 2 ? 0 : std::sqrt(std::max(0.0f, square_[k] / static_cast<float>(count_[k])));
}

void Model::choose() {
  chosen_at_ = learnt_;
  deciding_.clear();
  std::vector<Deciding> flat;
  double sum = 0, sum2 = 0;
  int steady = 0;
  const double n_way = std::max(1.0, way_.n), cxx = way_.xx / n_way, cxy = way_.xy / n_way,
               cyy = way_.yy / n_way;
  const double radius = corner_ * std::min(core_.width, core_.height);
  const auto in_core = [&](int x, int y) {
    const double a = std::abs(x + 0.5 - core_.x - core_.width / 2.0) - (core_.width / 2.0 - radius),
                 b = std::abs(y + 0.5 - core_.y - core_.height / 2.0) - (core_.height / 2.0 - radius);
    return std::hypot(std::max(a, 0.0), std::max(b, 0.0)) + std::min(std::max(a, b), 0.0) < radius;
  };
  // Had this slope lain still behind the thing, would it show in the spread by now?
  const auto tested = [&](int x, int y, double gx, double gy) {
    return std::sqrt(std::max(0.0, gx * gx * cxx + 2 * gx * gy * cxy + gy * gy * cyy)) > 2 * spread(x, y) + 5;
  };
  const auto weight = [&](int x, int y) {
    const bool core = in_core(x, y);
    const int n = count(x, y);
    if (n < 4) return core && n > 0 ? 0.5 : 0.0;
    if (!core && corner_ > 0) return 0.0;  // the plate is known: it alone decides
    const double s = spread(x, y) / 7;
    return 1 / (1 + s * s * s * s);
  };
  std::vector<std::pair<float, Deciding>> sloped;
  std::vector<Deciding> unsteady;
  for (int y = 1; y + 1 < height_; ++y)
    for (int x = 1; x + 1 < width_; ++x) {
      const double w = weight(x, y);
      if (w < 0.03) continue;
      const double least = std::min(std::min(weight(x - 1, y), weight(x + 1, y)),
                                    std::min(weight(x, y - 1), weight(x, y + 1)));
      const float gx = static_cast<float>((mean(x + 1, y) - mean(x - 1, y)) / 2),
                  gy = static_cast<float>((mean(x, y + 1) - mean(x, y - 1)) / 2);
      const Deciding d{static_cast<float>(x + 0.5 - origin_x_),
                       static_cast<float>(y + 0.5 - origin_y_),
                       static_cast<float>(mean(x, y)),
                       gx,
                       gy,
                       static_cast<float>(w)};
      const float g = std::hypot(gx, gy);
      if (w >= 0.3 && (in_core(x, y) || g > 2)) ++steady, sum += mean(x, y), sum2 += mean(x, y) * mean(x, y);
      if (w >= 0.3 && least >= 0.3 && g > 2 && (in_core(x, y) || tested(x, y, gx, gy)))
        sloped.emplace_back(g, d);
      else if (g > 2 && least >= 0.03 && in_core(x, y))
        unsteady.push_back(d);
      else if (w >= 0.3 && g <= 2 && (x + 3 * y) % 7 == 0 && in_core(x, y))
        flat.push_back({d.u, d.v, d.value, 0, 0, d.weight});
    }
  contrast_ = steady > 1 ? std::sqrt(std::max(0.0, sum2 / steady - (sum / steady) * (sum / steady))) : 0;
  if (sloped.size() > most_deciding) {
    std::nth_element(sloped.begin(), sloped.begin() + most_deciding, sloped.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    sloped.resize(most_deciding);
  }
  for (const auto& [g, d] : sloped) deciding_.push_back(d);
  // With bars across it alone a thing would be free to slide along them, and having slid once would never be
  // sure of its sides again: then what is less steady helps in that direction.
  double told_x = 0, told_y = 0;
  for (const Deciding& d : deciding_)
    told_x += d.weight * d.slope_x * d.slope_x, told_y += d.weight * d.slope_y * d.slope_y;
  if (std::min(told_x, told_y) < 0.1 * std::max(told_x, told_y)) {
    const bool across = told_x < told_y;
    const auto tells = [&](const Deciding& d) { return d.weight * std::abs(across ? d.slope_x : d.slope_y); };
    std::erase_if(unsteady, [&](const Deciding& d) { return tells(d) < 0.15f; });
    const std::size_t most = std::min<std::size_t>(unsteady.size(), most_deciding / 2);
    std::nth_element(unsteady.begin(), unsteady.begin() + static_cast<std::ptrdiff_t>(most), unsteady.end(),
                     [&](const Deciding& a, const Deciding& b) { return tells(a) > tells(b); });
    deciding_.insert(deciding_.end(), unsteady.begin(), unsteady.begin() + static_cast<std::ptrdiff_t>(most));
  }
  const std::size_t step = std::max<std::size_t>(1, flat.size() / (most_deciding / 4));
  for (std::size_t i = 0; i < flat.size(); i += step) deciding_.push_back(flat[i]);
  double out = 0;
  for (const Deciding& d : deciding_) out += d.u * d.u + d.v * d.v;
  spread_out_ = deciding_.empty() ? 1 : std::sqrt(out / static_cast<double>(deciding_.size()));
  // A spread-out few for searching.
  few_.clear();
  const std::size_t every = std::max<std::size_t>(1, deciding_.size() / few_deciding);
  for (std::size_t i = 0; i < deciding_.size(); i += every) few_.push_back(deciding_[i]);
}

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
    const float inverse_fade = static_cast<float>(turn < 3 ? 1 / (9 * fade * fade) : 1 / (fade * fade));
    const float px = static_cast<float>(p.x), py = static_cast<float>(p.y),
                inverse = static_cast<float>(1 / p.scale), cc = t.c * inverse, ss = t.s * inverse;
    float hh[10] = {}, gg[4] = {};
    double sum = 0, all = 0, inside = 0, covered = 0;
    float cn = 0, ct = 0, ci = 0, ctt = 0, cii = 0, cti = 0;
    for (const Deciding& d : deciding_) {
      const float x = px + t.c * d.u - t.s * d.v, y = py + t.s * d.u + t.c * d.v;
      all += d.weight;
      if (!(x >= 0.5f && y >= 0.5f && x < most_x && y < most_y)) continue;
      const float seen = sample(plane, x, y), r = seen - d.value, off = std::abs(r);
      if (off < static_cast<float>(cap)) {
        const float a = d.value - 128, b = seen - 128, w = d.weight;
        cn += w, ct += w * a, ci += w * b, ctt += w * a * a, cii += w * b * b, cti += w * a * b;
      }
      inside += d.weight;
      sum += d.weight * std::min<float>(off, cap);
      if (off > 25) covered += d.weight;
      if (d.slope_x == 0 && d.slope_y == 0) continue;
      const float w = d.weight / (1 + r * r * inverse_fade);
      const float j0 = (cc * d.slope_x - ss * d.slope_y) * inverse,
                  j1 = (ss * d.slope_x + cc * d.slope_y) * inverse;
      const float j2 = (d.slope_x * d.u + d.slope_y * d.v) * inverse, j3 = d.slope_y * d.u - d.slope_x * d.v;
      hh[0] += w * j0 * j0, hh[1] += w * j0 * j1, hh[2] += w * j0 * j2, hh[3] += w * j0 * j3;
      hh[4] += w * j1 * j1, hh[5] += w * j1 * j2, hh[6] += w * j1 * j3;
      hh[7] += w * j2 * j2, hh[8] += w * j2 * j3, hh[9] += w * j3 * j3;
      gg[0] += w * j0 * r, gg[1] += w * j1 * r, gg[2] += w * j2 * r, gg[3] += w * j3 * r;
    }
    const double vt = ctt - ct * ct / std::max(cn, 1e-6f), vi = cii - ci * ci / std::max(cn, 1e-6f),
                 c = cti - ct * ci / std::max(cn, 1e-6f);
    fit.alike = vt > 0 && vi > 0 ? c / std::sqrt(vt * vi) : 0;
    fit.plain = vt < 16 * cn;
    fit.visible = all > 0 ? (inside - covered) / all : 0;
    fit.misfit = inside > 0.1 * all ? sum / inside : 1e9;
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
    fit.pose.scale = std::clamp(fit.pose.scale + std::clamp(brake * g[2], -0.05, 0.05), 0.7, 1.45);
    fit.pose.turn = std::clamp(fit.pose.turn + std::clamp(brake * g[3], -0.05, 0.05), -0.35, 0.35);
    if (length < 0.01 && std::abs(g[2]) * reach < 0.02) {
      if (turn >= 3) break;
      turn = 2;
    }
  }
  const double noise = std::max(1.0, fit.misfit);
  fit.sd = h[0][0] > 0 && h[1][1] > 0 ? noise * std::sqrt((1 / h[0][0] + 1 / h[1][1]) / 2) : 9;
  const bool near = fit.misfit < std::max(5.0, std::min(16.0, 0.45 * contrast_ + 2)) &&
                    (fit.alike > 0.7 || (fit.plain && fit.misfit < 3 && fit.sd < 1));
  fit.good = fit.visible > 0.1 && (near || (fit.misfit < 11 && fit.alike > 0.75 && fit.visible > 0.6));
  return fit;
}

double Model::misfit_at(const Plane& plane, double x, double y, double limit, const Pose& pose) const {
  const Turned t(pose);
  const float most_x = static_cast<float>(plane.width) - 1.0f,
              most_y = static_cast<float>(plane.height) - 1.0f;
  double sum = 0, all = 0, inside = 0;
  for (const Deciding& d : few_) {
    const float px = static_cast<float>(x) + t.c * d.u - t.s * d.v,
                py = static_cast<float>(y) + t.s * d.u + t.c * d.v;
    all += d.weight;
    if (!(px >= 0.5f && py >= 0.5f && px < most_x && py < most_y)) continue;
    const int off = std::abs(static_cast<int>(plane.row(static_cast<int>(py))[static_cast<int>(px)]) -
                             static_cast<int>(d.value));
    inside += d.weight;
    sum += d.weight * std::min(off, static_cast<int>(cap));
    if (sum > limit * few_.size()) return 1e9;
  }
  return inside < 0.25 * all ? 1e9 : sum / inside;
}

Fit Model::search(const Plane& plane, const Pose& guess, int reach) const {
  if (few_.empty()) return {};
  struct Place {
    double misfit, x, y;
  };
  std::vector<Place> best;
  double least = cap;
  const int step = 2;
  for (int dy = -reach; dy <= reach; dy += step)
    for (int dx = -reach; dx <= reach; dx += step) {
      const double x = guess.x + dx, y = guess.y + dy;
      if (x < 0 || y < 0 || x > plane.width || y > plane.height) continue;
      const double m = misfit_at(plane, x, y, least * 1.3, guess) + 0.004 * std::hypot(dx, dy);
      if (m > least * 1.3) continue;
      least = std::min(least, m);
      best.push_back({m, x, y});
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
    Pose from = guess;
    from.x = place.x, from.y = place.y;
    const Fit fit = refine(plane, from);
    if (fit.misfit < found.misfit) found = fit;
    if (++tried == 4) break;
  }
  return found;
}

void Model::learn(const Plane& plane, const Fit& fit) {
  const Pose& p = fit.pose;
  if (std::hypot(p.x - last_x_, p.y - last_y_) < 1.5) return;
  last_x_ = p.x, last_y_ = p.y;
  ++learnt_;
  ++way_.n;
  const double ox = p.x - way_.x, oy = p.y - way_.y;
  way_.x += ox / way_.n, way_.y += oy / way_.n;
  way_.xx += ox * (p.x - way_.x), way_.xy += ox * (p.y - way_.y), way_.yy += oy * (p.y - way_.y);
  const Turned t(p);
  const float most_x = static_cast<float>(plane.width) - 1.0f,
              most_y = static_cast<float>(plane.height) - 1.0f;
  for (int y = 0; y < height_; ++y) {
    const float v = static_cast<float>(y + 0.5 - origin_y_);
    for (int x = 0; x < width_; ++x) {
      const float u = static_cast<float>(x + 0.5 - origin_x_);
      const float px = static_cast<float>(p.x) + t.c * u - t.s * v,
                  py = static_cast<float>(p.y) + t.s * u + t.c * v;
      if (!(px >= 0.5f && py >= 0.5f && px < most_x && py < most_y)) continue;
      const std::size_t k = static_cast<std::size_t>(y) * width_ + x;
      const float value = sample(plane, px, py);
      if (count_[k] < 200) ++count_[k];
      const float n = count_[k], before = value - mean_[k];
      mean_[k] += before / n;
      square_[k] += before * (value - mean_[k]) - (n >= 200 ? square_[k] / n : 0);
    }
  }
  if (learnt_ >= chosen_at_ + std::max(2, chosen_at_ / 3)) choose();
}

}  // namespace paneproof::video
