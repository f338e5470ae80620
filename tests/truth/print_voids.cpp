#include "tests/truth/print_voids.hpp"

#include <algorithm>
#include <cstdio>
#include <functional>

#include "tests/truth/void_fit.hpp"

namespace paneproof {
namespace {

constexpr int most_crossings = 3;
constexpr double sound_shares[] = {0.002, 0.005, 0.01, 0.02, 0.05};

double odds(const StudiedVoid& v, const std::array<double, void_signs>& weights) {
  double sum = 0;
  for (std::size_t k = 0; k < void_signs; ++k) sum += weights[k] * v.signs[k];
  return sum;
}

// Share of dead voids whose odds exceed those of all but `sound_share` of those of sound panels.
double told_at(const std::vector<StudiedVoid>& voids, double sound_share,
               const std::array<double, void_signs>& weights) {
  std::vector<double> sound;
  for (const StudiedVoid& v : voids)
    if (!v.is_dead) sound.push_back(odds(v, weights));
  if (sound.empty()) return 0;
  std::sort(sound.begin(), sound.end(), std::greater<>());
  const auto allowed = static_cast<std::size_t>(sound_share * static_cast<double>(sound.size()));
  const double limit = sound[std::min(allowed, sound.size() - 1)];
  double dead = 0, told = 0;
  for (const StudiedVoid& v : voids)
    if (v.is_dead) ++dead, told += odds(v, weights) > limit;
  return dead > 0 ? told / dead : 0;
}

void print_by_crossings(const std::vector<StudiedVoid>& voids) {
  std::printf("Voids by how often they were crossed           dead: told         of sound panels: told\n");
  for (int crossings = 0; crossings <= most_crossings; ++crossings) {
    int n[2] = {}, told[2] = {};
    for (const StudiedVoid& v : voids)
      if (std::min(v.crossings, most_crossings) == crossings) ++n[v.is_dead], told[v.is_dead] += v.told_dead;
    std::printf("  %d%-44s %6d of %-6d %8d of %-6d\n", crossings,
                crossings == most_crossings ? " or more" : "", told[1], n[1], told[0], n[0]);
  }
}

}  // namespace

void print_voids(const std::vector<StudiedVoid>& voids) {
  print_by_crossings(voids);
  std::array<double, void_signs> in_use{}, fitted{};
  std::vector<StudiedVoid> learnt_from, judged;
  for (const StudiedVoid& v : voids) (v.seed % 2 ? judged : learnt_from).push_back(v);
  const auto fit = fit_weights(learnt_from);
  std::printf("\nWeights of the signs            in use    fitted to the even seeds\n");
  for (std::size_t k = 0; k < void_signs; ++k) {
    in_use[k] = void_sign_weights[k].weight, fitted[k] = fit[k].weight;
    std::printf("  %-26s %8.2f    %8.2f +- %.2f\n", void_sign_weights[k].name, in_use[k], fitted[k],
                fit[k].error);
  }
  std::printf("\nDead voids of the odd seeds told, where so many of sound panels are told too\n");
  std::printf("  of sound panels told    weights in use     weights fitted\n");
  for (const double share : sound_shares)
    std::printf("  %5.1f %%                      %5.3f              %5.3f\n", 100 * share,
                told_at(judged, share, in_use), told_at(judged, share, fitted));
}

}  // namespace paneproof
