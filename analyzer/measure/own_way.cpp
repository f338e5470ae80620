#include "analyzer/measure/own_way.hpp"

#include <Eigen/Dense>
#include <cmath>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr std::uint32_t fewest = 5;
constexpr double least_pivot = 1e-6;

}  // namespace

OwnWay::OwnWay(Point from, Point to) : from_(from) {
  const double chord_mm = length(to.x_mm - from.x_mm, to.y_mm - from.y_mm);
  ux_ = (to.x_mm - from.x_mm) / chord_mm, uy_ = (to.y_mm - from.y_mm) / chord_mm, half_mm_ = chord_mm / 2;
}

double OwnWay::along_mm(double x_mm, double y_mm) const {
  return (x_mm - from_.x_mm) * ux_ + (y_mm - from_.y_mm) * uy_;
}

double OwnWay::across_mm(double x_mm, double y_mm) const {
  return (y_mm - from_.y_mm) * ux_ - (x_mm - from_.x_mm) * uy_;
}

double OwnWay::off_mm(double x_mm, double y_mm) const {
  const double at = t(x_mm, y_mm);
  return across_mm(x_mm, y_mm) - level_mm_ - (slope_mm_ + bow_mm_ * at) * at;
}

std::optional<OwnWay> own_way(const Trace& trace, std::uint32_t first, std::uint32_t last, Point from,
                              Point to) {
  const std::uint32_t count = last - first + 1;
  if (count < fewest) return std::nullopt;
  OwnWay way(from, to);
  Eigen::Matrix3d squares = Eigen::Matrix3d::Zero();
  Eigen::Vector3d sums = Eigen::Vector3d::Zero();
  for (std::uint32_t i = first; i <= last; ++i) {
    const Report& r = trace.reports[i];
    const double t = way.t(r.x, r.y);
    const Eigen::Vector3d row(1, t, t * t);
    squares += row * row.transpose(), sums += way.across_mm(r.x, r.y) * row;
  }
  const Eigen::LDLT<Eigen::Matrix3d> solver(squares);
  if (solver.vectorD().minCoeff() < least_pivot * count) return std::nullopt;
  const Eigen::Vector3d shape = solver.solve(sums);
  way.level_mm_ = shape[0], way.slope_mm_ = shape[1], way.bow_mm_ = shape[2];
  double rest = 0;
  for (std::uint32_t i = first; i <= last; ++i) {
    const double off = way.off_mm(trace.reports[i].x, trace.reports[i].y);
    rest += off * off;
  }
  way.rest_mm_ = std::sqrt(rest / count);
  return way;
}

}  // namespace paneproof
