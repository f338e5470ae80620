#include "analyzer/measure/near_silences.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {
namespace {

constexpr double square_mm = 8;
constexpr std::size_t most_near = 1000;
constexpr std::size_t most_in_a_square = 2000;  // looked through

}  // namespace

Segment core(const Silence& s) {
  const auto part = [&](double share) {
    return Point{s.from.x_mm + share * (s.to.x_mm - s.from.x_mm),
                 s.from.y_mm + share * (s.to.y_mm - s.from.y_mm)};
  };
  return {part(0.2), part(0.8)};
}

bool same_passage(const Silence& s, const Silence& t) {
  return s.sweep == t.sweep && std::abs(s.t_s - t.t_s) < passage_apart_s + std::max(s.gap_s, t.gap_s);
}

NearSilences::NearSilences(const Panel& panel, const std::vector<Silence>& all, double d_mm)
    : all_(all),
      d_(d_mm),
      columns_(std::max(1, static_cast<int>(panel.width_mm / square_mm) + 1)),
      rows_(std::max(1, static_cast<int>(panel.height_mm / square_mm) + 1)),
      squares_(static_cast<std::size_t>(columns_) * rows_),
      looked_from_(all.size(), all.size()) {
  for (std::size_t i = 0; i < all.size(); ++i)
    each_square(all[i], 0, [&](std::vector<std::uint32_t>& square) {
      if (square.size() < most_in_a_square && (square.empty() || square.back() != i))
        square.push_back(static_cast<std::uint32_t>(i));
      return true;
    });
}

template <class Visit>
void NearSilences::each_square(const Silence& s, int around, Visit visit) {
  const int steps = std::max(1, static_cast<int>(s.gap_mm / (square_mm / 2)));
  int seen = -1;
  for (int k = 0; k <= steps; ++k) {
    const double share = static_cast<double>(k) / steps;
    const double x_mm = s.from.x_mm + share * (s.to.x_mm - s.from.x_mm);
    const double y_mm = s.from.y_mm + share * (s.to.y_mm - s.from.y_mm);
    const int column = static_cast<int>(std::clamp(x_mm / square_mm, 0.0, columns_ - 1.0));
    const int row = static_cast<int>(std::clamp(y_mm / square_mm, 0.0, rows_ - 1.0));
    if (row * columns_ + column == seen) continue;
    seen = row * columns_ + column;
    for (int r = std::max(0, row - around); r <= std::min(rows_ - 1, row + around); ++r)
      for (int c = std::max(0, column - around); c <= std::min(columns_ - 1, column + around); ++c)
        if (!visit(squares_[static_cast<std::size_t>(r) * columns_ + c])) return;
  }
}

// Neighbouring rows count: they lie within a fingertip of each other.
bool NearSilences::over_one_place(const Silence& s, const Silence& t) const {
  const Segment a = core(s), b = core(t);
  if (boxes_apart(a, b, d_)) return false;
  const double ux = (s.to.x_mm - s.from.x_mm) / s.gap_mm, uy = (s.to.y_mm - s.from.y_mm) / s.gap_mm;
  const double vx = (t.to.x_mm - t.from.x_mm) / t.gap_mm, vy = (t.to.y_mm - t.from.y_mm) / t.gap_mm;
  const double apart2 = squared_distance(a, b);
  if (std::abs(ux * vx + uy * vy) < 0.7) return apart2 < d_ * d_ / 16;
  if (apart2 > d_ * d_) return false;
  const auto along = [&](Point p) { return p.x_mm * ux + p.y_mm * uy; };
  const double low = std::max(std::min(along(a.a), along(a.b)), std::min(along(b.a), along(b.b)));
  const double high = std::min(std::max(along(a.a), along(a.b)), std::max(along(b.a), along(b.b)));
  return high - low >= 0.3 * 0.6 * std::min(s.gap_mm, t.gap_mm);
}

std::vector<std::uint32_t> NearSilences::of(std::size_t i) {
  std::vector<std::uint32_t> near;
  each_square(all_[i], 1, [&](std::vector<std::uint32_t>& square) {
    for (const std::uint32_t j : square) {
      if (j == i || looked_from_[j] == i) continue;
      looked_from_[j] = i;
      if (!same_passage(all_[i], all_[j]) && over_one_place(all_[i], all_[j])) near.push_back(j);
      if (near.size() == most_near) return false;
    }
    return true;
  });
  return near;
}

}  // namespace paneproof
