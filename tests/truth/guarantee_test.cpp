// The guarantee holds on any trace: see plantings.hpp. 10,000 plantings: paneproof_truth --plantings 10000.
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/truth/plantings.hpp"

namespace paneproof {

TEST_CASE("a disc without reports that is wider than a fingertip is neither proven nor passed") {
  const Limits limits = default_limits();
  for (std::uint64_t number = 0; number < 24; ++number) {
    const Trace trace = trace_to_plant(number);
    Random random(number, 779);
    for (int p = 0; p < 12; ++p) {
      INFO("trace " << number << ", planting " << p);
      CHECK(broken_guarantee(trace, random_disc(trace.panel, limits.fingertip_mm, random), limits) == "");
    }
  }
}

// Without this the property would hold of an analysis that never proves or passes anything.
TEST_CASE("the traces for plantings pass before anything is deleted, some of them, and prove most cells") {
  const Limits limits = default_limits();
  int passed = 0;
  double proven = 0;
  constexpr int traces = 24;
  for (std::uint64_t number = 0; number < traces; ++number) {
    const Findings findings = analyse(trace_to_plant(number), options_of(limits));
    passed += judge(findings, limits, {}).outcome == Outcome::pass;
    proven += findings.coverage.proven / traces;
  }
  CHECK(passed >= 3);
  CHECK(proven > 0.8);
}

TEST_CASE("a planting deletes exactly the reports inside the disc") {
  const Trace trace = trace_to_plant(0);
  const Disc disc{trace.panel.width_mm / 2, trace.panel.height_mm / 2, 9};
  const Trace left = without(trace, disc);
  std::size_t outside = 0;
  for (const Report& r : trace.reports)
    outside += std::hypot(r.x - disc.x_mm, r.y - disc.y_mm) > disc.radius_mm;
  CHECK(left.reports.size() == outside);
  CHECK(outside < trace.reports.size());
  std::uint32_t at = 0;
  for (std::size_t c = 0; c < left.contacts.size(); ++c) {
    CHECK(left.contacts[c].first == at);
    for (std::uint32_t k = 0; k < left.contacts[c].count; ++k) CHECK(left.reports[at + k].contact == c);
    at += left.contacts[c].count;
  }
  CHECK(at == left.reports.size());
}

}  // namespace paneproof
