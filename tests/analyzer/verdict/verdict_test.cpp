// Verdicts on findings made by hand: what each finding, condition and doubt makes of them.
#include "analyzer/verdict/verdict.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "tests/analyzer/verdict/made_findings.hpp"

namespace paneproof {

TEST_CASE("a sound and whole sweep passes, with a reason and a step") {
  const Verdict verdict = judged(sound());
  CHECK(verdict.outcome == Outcome::pass);
  CHECK(has(verdict, "all_proven"));
  CHECK(verdict.next_steps.size() == 1);
  CHECK(verdict.cautions.empty());
}

TEST_CASE("each finding has its own reason, outcome and next step") {
  const std::string hand_back = judged(sound()).next_steps.front();
  for (const Case& c : cases()) {
    INFO(c.reason);
    Findings f = sound();
    c.happen(f);
    const Verdict verdict = judged(f);
    CHECK(verdict.outcome == c.outcome);
    REQUIRE(has(verdict, c.reason));
    REQUIRE_FALSE(verdict.next_steps.empty());
    CHECK(verdict.next_steps.front() != hand_back);  // a panel in fault or doubt is not handed back
    CHECK(verdict.cautions.empty() == !c.opens);
  }
}

TEST_CASE("an untested circle of exactly a fingertip is still proof, a hair more is not") {
  Findings f = sound();
  f.coverage.largest_untested.diameter_mm = default_limits().fingertip_mm;
  CHECK(judged(f).outcome == Outcome::pass);
  f.coverage.largest_untested.diameter_mm += 0.01;
  CHECK(judged(f).outcome == Outcome::resweep);
  f.coverage.largest_untested.diameter_mm -= 0.008;  // what decides is not told as what it is not
  CHECK(judged(f).outcome == Outcome::resweep);
  CHECK(judged(f).reasons.front().text.find(" 8.01 mm wide") != std::string::npos);
}

TEST_CASE("doubt never passes, a fault never passes, and a pass has no reason of another weight") {
  std::mt19937_64 random(17);
  for (int i = 0; i < 3000; ++i) {
    const Findings f = random_findings(random);
    const auto conditions = random_conditions(random);
    const Verdict verdict = judged(f, conditions);
    const bool clean = f.dead_zones.empty() && f.doubts.empty() && f.ghosts.empty() && f.jumps.empty();
    if (verdict.outcome == Outcome::pass) {
      CHECK(clean);
      CHECK(f.coverage.largest_untested.diameter_mm <= default_limits().fingertip_mm);
      CHECK(f.coverage.judged_mm2 > 0);
      for (const Reason& reason : verdict.reasons) CHECK(reason.weight == Outcome::pass);
    }
    Outcome worst = Outcome::pass;
    for (const Reason& reason : verdict.reasons)
      if (reason.weight == Outcome::fail || (reason.weight == Outcome::resweep && worst == Outcome::pass))
        worst = reason.weight;
    CHECK(verdict.outcome == worst);
    CHECK_FALSE(verdict.reasons.empty());
    CHECK_FALSE(verdict.next_steps.empty());
  }
}

TEST_CASE("reasons stand weightiest first") {
  std::mt19937_64 random(23);
  const auto weight = [](Outcome o) { return o == Outcome::fail ? 2 : o == Outcome::resweep ? 1 : 0; };
  for (int i = 0; i < 500; ++i) {
    const Verdict verdict = judged(random_findings(random), random_conditions(random));
    CHECK(std::is_sorted(
        verdict.reasons.begin(), verdict.reasons.end(),
        [&](const Reason& a, const Reason& b) { return weight(a.weight) > weight(b.weight); }));
  }
}

TEST_CASE("a known-good panel is the measure of jitter and rate where one was given") {
  Findings f = sound();
  f.jitter.rms_mm = 0.2;
  f.rate.rate_hz = 60;
  CHECK(judge(f, default_limits(), {}).outcome == Outcome::pass);
  f.reference = Reference{{}, 0.18, 62};
  CHECK(judge(f, default_limits(), {}).outcome == Outcome::pass);
  f.reference = Reference{{}, 0.05, 62};
  CHECK(judge(f, default_limits(), {}).reasons[0].id == "jitter_high");
  f.reference = Reference{{}, 0.18, 120};
  CHECK(judge(f, default_limits(), {}).reasons[0].id == "report_rate_low");
}

TEST_CASE("under a bad condition no fault blames the panel: it asks for a clean sweep") {
  for (const Condition condition : {Condition::film, Condition::protector, Condition::glove, Condition::wet,
                                    Condition::cold, Condition::charging})
    for (const Case& c : cases()) {
      INFO(word(condition) << ", " << c.reason);
      Findings f = sound();
      c.happen(f);
      const Verdict verdict = judged(f, {condition});
      CHECK(verdict.outcome == Outcome::resweep);
      CHECK(has(verdict, c.reason));
      if (c.outcome == Outcome::fail) {
        CHECK(has(verdict, "condition"));
        CHECK(verdict.next_steps.front().find("clean, dry") != std::string::npos);
        CHECK(verdict.next_steps.front().find("battery") != std::string::npos);
      }
    }
}

TEST_CASE("a condition makes nothing of a sound sweep, and an open device excuses no fault") {
  for (int c = 0; c < 7; ++c) CHECK(judged(sound(), {static_cast<Condition>(c)}).outcome == Outcome::pass);
  Findings f = sound();
  add_zone(f, ZoneKind::line);
  CHECK(judged(f, {Condition::open}).outcome == Outcome::fail);
}

TEST_CASE("an open device that passes is to be swept again when it is closed") {
  const std::string step = judged(sound(), {Condition::open}).next_steps.front();
  CHECK(step != judged(sound()).next_steps.front());
  CHECK(step.find("sweep") != std::string::npos);
}

TEST_CASE("a pen's log passes and fails the pen layer only, and says so") {
  Findings f = sound();
  f.pen_only = true;
  const Verdict verdict = judged(f);
  CHECK(has(verdict, "pen_layer_only"));
  CHECK(verdict.customer.find("pen") != std::string::npos);
}

TEST_CASE("a strip out of the page's reach that could hide a fingertip is no pass") {
  Findings f = sound();
  f.out_of_reach_mm = 5;
  Verdict verdict = judge(f, default_limits(), {});
  CHECK(verdict.outcome == Outcome::pass);
  CHECK(std::any_of(verdict.not_tested.begin(), verdict.not_tested.end(), [](const std::string& line) {
    return line.find("5.0 mm wide that the page could not reach") != line.npos;
  }));
  f.out_of_reach_mm = 8.1;
  verdict = judge(f, default_limits(), {});
  CHECK(verdict.outcome == Outcome::resweep);
  CHECK(verdict.reasons.front().id == std::string("out_of_reach"));
  CHECK(verdict.next_steps.front().find("fill the screen") != std::string::npos);
}

TEST_CASE("every word of an outcome, condition, state and zone is its own") {
  std::set<std::string> words;
  for (int i = 0; i < 3; ++i) words.insert(word(static_cast<Outcome>(i)));
  for (int i = 0; i < 7; ++i) words.insert(word(static_cast<Condition>(i)));
  for (int i = 0; i < 4; ++i) words.insert(word(static_cast<CellState>(i)));
  for (int i = 0; i < 5; ++i) words.insert(word(static_cast<ZoneKind>(i)));
  CHECK(words.size() == 19);
}

TEST_CASE("one touch away from the border, and a hand that holds the device explains none") {
  Findings f = sound();
  f.ghosts.assign(4, {0, 1, 30, 3});
  f.ghosts.push_back({0, 2, f.panel_width_mm / 2, f.panel_height_mm / 2});
  CHECK(has(judged(f), "ghost_touches"));
}

}  // namespace paneproof
