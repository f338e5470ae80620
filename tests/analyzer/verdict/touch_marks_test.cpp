// From a recording of touch marks to its verdict: what is lost in motion is judged as in a log. No outside
// source: losses are where they were made.
#include <catch2/catch.hpp>

#include "tests/support/check.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

SweepMaker sixty_hz() {
  SweepMaker maker(68, 142);
  maker.pace(60, 100).noise(0.02, 7);
  return maker;
}

// As a recording tells it in which every contact ended in motion.
Checked marks(const SweepMaker& maker) {
  Trace trace = maker.trace();
  trace.sweeps.at(0).recording = RecordingFacts{1000, 16'666'667, 1000, 1000, 1000, 0, 0};
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    const Report& last = trace.reports[trace.contacts[c].first + trace.contacts[c].count - 1];
    trace.let_gos.push_back({LetGo::Kind::doubt, last.t_us, last.x, last.y, c, 0});
  }
  return check(trace);
}

}  // namespace

TEST_CASE("touch marks that run off the glass row after row pass") {
  const Checked checked = marks(sixty_hz().rows(4));
  INFO(checked.reasons());
  CHECK(checked.verdict.outcome == Outcome::pass);
}

TEST_CASE("a touch mark that vanishes in flight and does not come back asks for another sweep, no more") {
  const Checked checked = marks(sixty_hz().rows(4).stroke({{10, 70}, {40, 72}}));
  INFO(checked.reasons());
  CHECK(checked.verdict.outcome == Outcome::resweep);
  CHECK(checked.has("drop_or_release"));
  CHECK(checked.findings.dropouts.empty());
  CHECK(checked.verdict.next_steps.front().find("come to rest") != std::string::npos);
}

TEST_CASE("a touch mark that is back at once on its way is told lost, how long and how far") {
  SweepMaker once = sixty_hz().rows(4).stroke({{10, 30}, {67, 110}});
  once.lose_frames(28, 2, Lost::contact);
  const Checked checked = marks(once);
  INFO(checked.reasons());
  REQUIRE(checked.findings.dropouts.size() == 1);
  CHECK(checked.findings.dropouts[0].gap_s == Approx(0.05).margin(0.002));
  CHECK(checked.findings.dropouts[0].gap_mm == Approx(5).margin(0.3));
  CHECK_FALSE(checked.has("drop_or_release"));
  CHECK(checked.verdict.outcome == Outcome::pass);  // the rows were reported there
}

TEST_CASE("what bursts or doubts tell of a touch mark is not told again as a touch that ended") {
  SweepMaker often = sixty_hz().rows(4);
  for (int k = 0; k < 9; ++k) {
    const double y = 15 + 13.0 * k, x = k % 2 == 0 ? 20 : 45;
    often.lift(0.12).stroke({{x - 12, y}, {x, y}}).lift(0.5).stroke({{x + 6, y - 6}, {x + 6, y - 14}});
  }
  const Checked checked = marks(often);
  INFO(checked.reasons());
  CHECK(checked.has("contact_bursts"));
  for (const Doubt& doubt : checked.findings.doubts)
    for (const Dropout& dropout : checked.findings.dropouts) CHECK(doubt.t_s != dropout.t_s);
}

TEST_CASE("places to drag over again are those where contact was lost, not where touches ended") {
  SweepMaker once = sixty_hz().rows(4).stroke({{10, 70}, {40, 72}});
  once.stroke({{10, 31}, {60, 33}}).lose_frames(12, 5, Lost::contact);
  const Checked checked = marks(once);
  INFO(checked.reasons());
  int places = 0;
  for (const std::string& step : checked.verdict.next_steps)
    places += step.find("twice, without") != step.npos;
  CHECK(places == static_cast<int>(checked.has("doubtful_loss")));
}

TEST_CASE("touch marks lost again and again sooner than hands lift and land fail, wherever") {
  SweepMaker often = sixty_hz().rows(4);
  for (int k = 0; k < 6; ++k) {
    const double y = 15 + 20.0 * k;
    often.stroke({{8, y}, {60, y + 7}}).lose_frames(10 + 2 * static_cast<std::size_t>(k), 2, Lost::contact);
  }
  const Checked checked = marks(often);
  INFO(checked.reasons());
  CHECK(checked.has("contact_bursts"));
  CHECK(checked.verdict.outcome == Outcome::fail);
}

TEST_CASE("gaps within a touch mark's contact are the recorder's") {
  SweepMaker stalled = sixty_hz().rows(4);
  for (int k = 0; k < 6; ++k)
    stalled.stroke({{8, 15 + 20.0 * k}, {60, 22 + 20.0 * k}}).lose_frames(10, 5, Lost::reports);
  const Checked checked = marks(stalled);
  INFO(checked.reasons());
  CHECK(checked.findings.dropouts.empty());
  CHECK_FALSE(checked.has("doubtful_loss"));
}

TEST_CASE("touch marks lost at one place in every row tell a dead line") {
  const Checked checked = marks(sixty_hz().rows(4).lose(box(30, 37, 0, 142), Lost::contact));
  INFO(checked.reasons());
  CHECK(checked.has("dead_line"));
  CHECK(checked.verdict.outcome == Outcome::fail);
}

}  // namespace paneproof
