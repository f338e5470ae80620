#include "tests/truth/run_mix.hpp"

#include "tests/truth/parallel.hpp"

namespace paneproof {

MixResult run_mix(const MixRun& run) {
  struct One {
    Score score;
    std::vector<char> changed;
  };
  const Limits limits = default_limits();
  const auto each = in_parallel<One>(static_cast<std::size_t>(run.cases), run.threads, [&](std::size_t k) {
    const RehearsedCase c = run_case(spec_of_mix(run.mix, first_seed(run.seed) + k), run.through, limits);
    return One{score_of(c, limits), changes(c, run.moved)};
  });
  MixResult result;
  result.changed.assign(run.moved.size(), 0);
  for (const One& one : each) {
    result.score.add(one.score);
    for (std::size_t k = 0; k < one.changed.size(); ++k) result.changed[k] += one.changed[k];
  }
  return result;
}

}  // namespace paneproof
