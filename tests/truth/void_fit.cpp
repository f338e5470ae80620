#include "tests/truth/void_fit.hpp"

#include <Eigen/Dense>
#include <cmath>

namespace paneproof {

std::array<FittedWeight, void_signs> fit_weights(const std::vector<StudiedVoid>& voids, double prior) {
  constexpr int size = static_cast<int>(void_signs), most_steps = 50;
  constexpr double small_step = 1e-9;
  using Weights = Eigen::Matrix<double, size, 1>;
  using Square = Eigen::Matrix<double, size, size>;
  const Square shrink = Square::Identity() / (prior * prior);
  Weights weights = Weights::Zero();
  Square curvature = shrink;
  for (int step = 0; step < most_steps; ++step) {
    Weights slope = -shrink * weights;
    curvature = shrink;
    for (const StudiedVoid& v : voids) {
      const Eigen::Map<const Weights> x(v.signs.data());
      const double p = 1 / (1 + std::exp(-weights.dot(x)));
      slope += (v.is_dead - p) * x;
      curvature += p * (1 - p) * x * x.transpose();
    }
    const Weights move = curvature.ldlt().solve(slope);
    weights += move;
    if (move.norm() < small_step) break;
  }
  const Square variance = curvature.inverse();
  std::array<FittedWeight, void_signs> out;
  for (int k = 0; k < size; ++k) out[static_cast<std::size_t>(k)] = {weights[k], std::sqrt(variance(k, k))};
  return out;
}

}  // namespace paneproof
