// The figures of docs/accuracy.md on a short fixed run, each held above a floor a little below today's, so
// that a loss shows. The whole benchmark is paneproof_truth.
#include <catch2/catch.hpp>
#include <map>

#include "tests/truth/run_mix.hpp"

namespace paneproof {
namespace {

// Raise these when the analysis gets better; never lower one without saying why.
struct Floors {
  double right_verdict = 0.9, right_verdict_good = 0.88;
  double silent_precision = 0.98, silent_recall = 0.82;
  double unswept_precision = 0.98, unswept_recall = 0.99;
  double dropout_precision = 0.91, dropout_recall = 0.71;
  double kind = 0.88;
  double ghost_precision = 0.98, ghost_recall = 0.74;
  double jitter_error = 0.115, noise_error = 0.26, rate_error = 0.005;  // at most
} const floors;

const Score& figures(const std::string& mix, int cases) {
  static std::map<std::string, Score> done;
  if (done.count(mix) == 0) {
    MixRun run;
    run.mix = mix;
    run.seed = 4;
    run.cases = cases;
    done[mix] = run_mix(run).score;
  }
  return done[mix];
}

const Score& mixed() { return figures("mixed", 120); }
const Score& good() { return figures("good", 80); }

void at_least(const Share& share, double floor) {
  INFO(share.hits << " of " << share.of);
  CHECK(share.of >= 10);  // a figure of next to nothing says nothing
  CHECK(share.value() >= floor);
}

}  // namespace

TEST_CASE("clear-cut cases get the right verdict") {
  at_least(mixed().right_verdicts(), floors.right_verdict);
  at_least(good().right_verdicts(), floors.right_verdict_good);
}

TEST_CASE("no sound panel of the fixed run fails") {
  CHECK(good().false_fail.of == 80);
  CHECK(good().false_fail.hits == 0);
}

TEST_CASE("no dead zone of 6 mm or more that was swept is passed") {
  CHECK(mixed().missed_dead.of >= 10);
  CHECK(mixed().missed_dead.hits == 0);
}

TEST_CASE("silent cells are where the panel is dead") {
  at_least(mixed().silent.precision, floors.silent_precision);
  at_least(mixed().silent.recall, floors.silent_recall);
}

TEST_CASE("unswept cells are where no finger was") {
  at_least(mixed().unswept.precision, floors.unswept_precision);
  at_least(mixed().unswept.recall, floors.unswept_recall);
}

TEST_CASE("dropouts are losses of contact by a fault") {
  at_least(mixed().dropouts.precision, floors.dropout_precision);
  at_least(mixed().dropouts.recall, floors.dropout_recall);
}

TEST_CASE("dead zones are told as the kind that was planted") {
  at_least(mixed().right_kinds(), floors.kind);
}

TEST_CASE("ghost touches told were made by nobody, and most of those are told") {
  at_least(mixed().ghosts.precision, floors.ghost_precision);
  at_least(mixed().ghosts.recall, floors.ghost_recall);
}

TEST_CASE("jitter and report rate are those of the panel") {
  CHECK(mixed().jitter_errors.size() >= 90);
  CHECK(median(mixed().jitter_errors) <= floors.jitter_error);
  CHECK(median(mixed().noise_errors) <= floors.noise_error);
  CHECK(median(mixed().rate_errors) <= floors.rate_error);
}

}  // namespace paneproof
