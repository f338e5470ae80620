#include "tests/truth/print.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace paneproof {
namespace {

// 95 % interval for a share of at least one (Wilson 1927, formula from memory).
std::pair<double, double> interval(const Share& s) {
  const double z = 1.96, n = static_cast<double>(s.of), p = s.value();
  const double middle = (p + z * z / (2 * n)) / (1 + z * z / n);
  const double half = z * std::sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / (1 + z * z / n);
  return {std::max(0.0, middle - half), std::min(1.0, middle + half)};
}

void print_share(const char* what, const Share& s) {
  if (s.of == 0) return void(std::printf("%-58s       -  (none)\n", what));
  const auto [low, high] = interval(s);
  std::printf("%-58s %7.4f  (%lld of %lld; 95 %%: %.4f to %.4f)\n", what, s.value(),
              static_cast<long long>(s.hits), static_cast<long long>(s.of), low, high);
}

void print_pair(const char* what, const PrecisionRecall& s) {
  print_share((std::string(what) + ", precision").c_str(), s.precision);
  print_share((std::string(what) + ", recall").c_str(), s.recall);
}

void print_verdicts(const Score& score) {
  std::printf("\nVerdicts, clear-cut cases      told pass   fail  resweep\n");
  for (int right = 0; right < outcomes; ++right) {
    std::printf("  right: %-20s", word(static_cast<Outcome>(right)));
    for (int told = 0; told < outcomes; ++told) std::printf(" %8d", score.verdicts[right][told]);
    std::printf("\n");
  }
  std::printf("  no one right verdict       ");
  for (int told = 0; told < outcomes; ++told) std::printf(" %8d", score.undecided[told]);
  std::printf("\n\n");
}

void print_kinds(const Score& score) {
  std::printf("\nDead zones, planted            line partial   area   edge bursts   none\n");
  for (int planted = 0; planted < fault_kinds; ++planted) {
    if (!kind_to_tell(static_cast<FaultKind>(planted))) continue;
    std::printf("  %-26s", fault_names[planted]);
    for (int told = 0; told < told_kinds; ++told) std::printf(" %6d", score.kinds[planted][told]);
    std::printf("\n");
  }
}

void print_reliability(const char* what, const Reliability& r) {
  std::printf("\nConfidence of %s, on this mix only\n  stated          mean stated   right        n\n", what);
  for (std::size_t b = 0; b < r.right.size(); ++b) {
    if (r.right[b].of == 0) continue;
    std::printf("  %.3f to %.3f       %6.3f  %6.3f  %7lld\n", Reliability::edges[b],
                std::min(1.0, Reliability::edges[b + 1]), r.stated[b] / static_cast<double>(r.right[b].of),
                r.right[b].value(), static_cast<long long>(r.right[b].of));
  }
}

Share over(const std::vector<double>& errors, double limit) {
  Share share;
  for (const double error : errors) share.count(error > limit);
  return share;
}

}  // namespace

void print_figures(const Score& score) {
  std::printf("%d cases, %d of them through a log format\n", score.cases, score.through_format);
  print_verdicts(score);
  print_share("right verdict, clear-cut cases", score.right_verdicts());
  print_share("sound panels failed", score.false_fail);
  print_share("sound and fully swept panels failed", score.false_fail_complete);
  print_share("swept dead zones of 6 mm or more passed", score.missed_dead);
  print_share("of them with a tellable loss in the sweep, passed", score.missed_evident);
  const char* const losses[] = {"no", "one", "two", "3 to 5", "6 or more"};
  for (std::size_t k = 0; k < score.told_by_losses.size(); ++k)
    print_share((std::string("of them those that left ") + losses[k] + " tellable losses, failed").c_str(),
                score.told_by_losses[k]);
  print_pair("silent cells", score.silent);
  print_pair("unswept cells", score.unswept);
  print_pair("dropouts (within 50 ms)", score.dropouts);
  print_share("dropouts told wrongly: leaps that missed no report", score.false_leaps);
  print_share("losses seen from one side only (landing, lift), told", score.half_seen);
  print_share("kind of dead zone right, of those told", score.right_kinds());
  print_pair("ghost touches", score.ghosts);
  std::printf("%-58s %7.4f  (%zu cases)\n", "jitter, median relative error", median(score.jitter_errors),
              score.jitter_errors.size());
  std::printf("%-58s %7.4f  (%zu cases)\n", "jitter against noise alone, median relative error",
              median(score.noise_errors), score.noise_errors.size());
  std::printf("%-58s %7.4f  (%zu cases)\n", "the same for an oracle that sees the noise alone",
              median(score.oracle_noise_errors), score.oracle_noise_errors.size());
  std::printf("%-58s %7.4f  (%zu cases)\n", "report rate, median relative error", median(score.rate_errors),
              score.rate_errors.size());
  print_share("report rate wrong by over 2 %", over(score.rate_errors, 0.02));
  print_kinds(score);
  print_reliability("dead zones", score.zones);
  print_reliability("dropouts", score.losses);
}

void print_failures(const Score& score, int most) {
  std::map<std::string, std::vector<Failure>> kinds;
  for (const Failure& failure : score.failures) kinds[failure.kind].push_back(failure);
  for (auto& [kind, list] : kinds) {
    std::stable_sort(list.begin(), list.end(),
                     [](const Failure& a, const Failure& b) { return a.weight > b.weight; });
    std::printf("\n%s: %zu cases\n", kind.c_str(), list.size());
    for (std::size_t k = 0; k < std::min(list.size(), static_cast<std::size_t>(most)); ++k)
      std::printf("  seed %llu: %s\n", static_cast<unsigned long long>(list[k].seed), list[k].text.c_str());
  }
}

void print_sensitivity(const std::vector<MovedLimit>& moved, const std::vector<int>& changed, int cases) {
  std::printf(
      "\nVerdicts that change, of %d, when a limit is moved\n  limit          20 %% lower  20 %% higher\n",
      cases);
  for (std::size_t k = 0; k + 1 < moved.size(); k += 2)
    std::printf("  %-14s %10d %12d\n", moved[k].name.c_str(), changed[k], changed[k + 1]);
}

void print_discs(const std::vector<DiscResult>& results) {
  const auto row = [&](const std::string& what, auto wanted) {
    std::printf("  %-18s", what.c_str());
    for (std::size_t size = 0; size < std::size(disc_sizes_mm); ++size) {
      int n = 0, found = 0, passed = 0;
      for (const DiscResult& r : results)
        if (r.size == size && wanted(r)) ++n, found += r.found, passed += r.outcome == Outcome::pass;
      std::printf("   %3.0f %% / %3.0f %%", 100.0 * found / std::max(1, n), 100.0 * passed / std::max(1, n));
    }
    std::printf("\n");
  };
  std::printf(
      "Dead discs: share found (fail, at the place) / share passed; the rest: resweep, or failed "
      "elsewhere\n");
  std::printf("%zu panels\n  disc              ", results.size());
  for (const double size : disc_sizes_mm) std::printf("         %2.0f mm ", size);
  std::printf("\n");
  row("all", [](const DiscResult&) { return true; });
  for (int style = 0; style < 6; ++style)
    row(sweep_style_names[style],
        [&](const DiscResult& r) { return r.style == static_cast<SweepStyle>(style); });
  for (std::size_t k = 0; k < std::size(row_distances_mm); ++k) {
    char name[40];
    std::snprintf(name, sizeof name, "rows %.0f mm apart", row_distances_mm[k]);
    row(name, [&](const DiscResult& r) { return r.row == k; });
  }
}

}  // namespace paneproof
