// The truth benchmark: accuracy of the analysis against rehearsals whose truth is known.
//
//   paneproof_truth --seed 1 --cases 300 --mix mixed     figures of a mix
//   paneproof_truth --seed 1 --cases 300 --sensitivity   the same, with every limit moved by a fifth
//   paneproof_truth --discs 6                            dead discs by size, sweep and row distance
//   paneproof_truth --plantings 10000                    the guarantee as a property; exit 1 on a miss
//   paneproof_truth --voids --cases 1500                 which voids are told dead, and the weights fitted
//   again
#include <CLI/CLI.hpp>
#include <cstdio>

#include "tests/truth/parallel.hpp"
#include "tests/truth/plantings.hpp"
#include "tests/truth/print.hpp"
#include "tests/truth/print_voids.hpp"
#include "tests/truth/run_mix.hpp"

namespace {

using namespace paneproof;

constexpr int plantings_a_trace = 25;

int run_plantings(int count, std::uint64_t seed, unsigned threads) {
  const Limits limits = default_limits();
  const int traces = (count + plantings_a_trace - 1) / plantings_a_trace;
  const auto misses =
      in_parallel<std::vector<std::string>>(static_cast<std::size_t>(traces), threads, [&](std::size_t k) {
        const std::uint64_t number = first_seed(seed) + k;
        const Trace trace = trace_to_plant(number);
        Random random(number, 779);
        std::vector<std::string> broken;
        for (int p = 0; p < plantings_a_trace; ++p) {
          const std::string miss =
              broken_guarantee(trace, random_disc(trace.panel, limits.fingertip_mm, random), limits);
          if (!miss.empty()) broken.push_back("trace " + std::to_string(number) + ": " + miss);
        }
        return broken;
      });
  int missed = 0;
  for (const auto& list : misses)
    for (const std::string& miss : list) std::printf("%s\n", miss.c_str()), ++missed;
  std::printf("%d plantings in %d traces, %d misses\n", traces * plantings_a_trace, traces, missed);
  return missed > 0;
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app{"Accuracy of the analysis against rehearsals with known truth."};
  MixRun run;
  int failures = 0, discs = 0, plantings = 0;
  bool sensitivity = false, voids = false;
  app.add_option("--seed", run.seed, "case k has the seed 100000 x this + k")->capture_default_str();
  app.add_option("--cases", run.cases, "how many")->capture_default_str()->check(CLI::Range(1, 100000));
  app.add_option("--mix", run.mix, "which cases")->capture_default_str()->check(CLI::IsMember(mix_names()));
  app.add_option("--formats", run.through, "share of cases that go through a log format")
      ->capture_default_str()
      ->check(CLI::Range(0.0, 1.0));
  app.add_option("--threads", run.threads, "threads")->capture_default_str()->check(CLI::Range(1, 64));
  app.add_option("--failures", failures, "list so many failing seeds of each kind, the worst first");
  app.add_flag("--sensitivity", sensitivity, "move every limit by a fifth and count changed verdicts");
  app.add_option("--discs", discs, "plant dead discs, so many panels a combination");
  app.add_option("--plantings", plantings, "test the guarantee with so many plantings");
  app.add_flag("--voids", voids, "what is made of places without reports, and by which weights");
  CLI11_PARSE(app, argc, argv);
  if (plantings > 0) return run_plantings(plantings, run.seed, run.threads);
  if (discs > 0) return print_discs(plant_discs(run.seed, discs, run.threads)), 0;
  if (voids) return print_voids(study_voids(run.mix, run.seed, run.cases, run.threads)), 0;
  if (sensitivity) run.moved = moved_limits(default_limits());
  const MixResult result = run_mix(run);
  std::printf("mix %s, seed %llu: ", run.mix.c_str(), static_cast<unsigned long long>(run.seed));
  print_figures(result.score);
  if (sensitivity) print_sensitivity(run.moved, result.changed, run.cases);
  if (failures > 0) print_failures(result.score, failures);
  return 0;
}
