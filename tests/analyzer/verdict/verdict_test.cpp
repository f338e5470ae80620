// Verdicts on findings made by hand: what each finding, condition and doubt makes of them.
#include "analyzer/verdict/verdict.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <functional>
#include <random>
#include <set>

#include "analyzer/verdict/advice.hpp"
#include "analyzer/verdict/limits.hpp"

namespace paneproof {
namespace {

Findings sound() {
  Findings f;
  f.panel_width_mm = 68, f.panel_height_mm = 142, f.fingertip_mm = 8;
  f.coverage.proven = 1, f.coverage.judged_mm2 = 68 * 142;
  f.coverage.largest_untested = {34, 70, 4.2};
  f.reports = 3000, f.contacts = 36, f.most_contacts = 1;
  f.rate.rate_hz = 120, f.rate.intervals = 2900;
  f.jitter.rms_mm = 0.05, f.jitter.reports = 2800;
  f.quality.fastest_useful_mm_s = 480;
  return f;
}

DeadZone zone(ZoneKind kind) {
  DeadZone z;
  z.kind = kind,
  z.along = kind == ZoneKind::line || kind == ZoneKind::partial_line ? Along::column : Along::none;
  z.x_mm = 20, z.y_mm = 30, z.width_mm = 6, z.height_mm = 60, z.lost = 9, z.passages = 9, z.confidence = 0.99;
  return z;
}

struct Case {
  const char* reason;
  Outcome outcome;
  std::function<void(Findings&)> happen;
  bool opens;  // its step opens the device
};

void add_zone(Findings& f, ZoneKind kind) { f.dead_zones.push_back(zone(kind)); }

// Everything that a sweep can show, one by one. The counts are far beyond today's limits.
std::vector<Case> cases() {
  return {
      {"dead_line", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::line); }, true},
      {"dead_partial_line", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::partial_line); }, true},
      {"dead_area", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::area); }, true},
      {"insensitive_edge", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::edge_band); }, true},
      {"contact_bursts", Outcome::fail, [](Findings& f) { add_zone(f, ZoneKind::bursts); }, true},
      {"attested_dead_zone", Outcome::fail,
       [](Findings& f) { add_zone(f, ZoneKind::area), f.dead_zones.back().attested = true; }, true},
      {"ghost_touches", Outcome::fail, [](Findings& f) { f.ghosts.resize(1000); }, true},
      {"jitter_high", Outcome::fail, [](Findings& f) { f.jitter.rms_mm = 50; }, true},
      {"position_leaps", Outcome::fail,
       [](Findings& f) { f.doubts.assign(10, {0, 1, 0.01, {10, 10}, {16, 10}, "leap_once"}); }, true},
      {"untested_area", Outcome::resweep, [](Findings& f) { f.coverage.largest_untested.diameter_mm = 40; },
       false},
      {"doubtful_loss", Outcome::resweep,
       [](Findings& f) {
         f.doubts.push_back({0, 1, 0.2, {10, 10}, {20, 10}, "regrip_or_loss"});
       },
       false},
      {"swerves_around", Outcome::resweep,
       [](Findings& f) {
         f.doubts.push_back({0, 1, 0, {10, 10}, {10, 20}, "swerves_around"});
       },
       false},
      {"ghost_once", Outcome::resweep, [](Findings& f) { f.ghosts.resize(1); }, false},
      {"ghosts_or_hand", Outcome::resweep, [](Findings& f) { f.ghosts.assign(4, {0, 1, 30, 3}); }, false},
      {"position_jump", Outcome::resweep,
       [](Findings& f) {
         f.jumps.push_back({0, 1, {10, 10}, {60, 90}});
       },
       false},
      {"too_few_reports", Outcome::resweep, [](Findings& f) { f.reports = 3; }, false},
      {"report_rate_low", Outcome::resweep, [](Findings& f) { f.rate.rate_hz = 0.9; }, false},
      {"nothing_judged", Outcome::resweep, [](Findings& f) { f.coverage = {}; }, false},
      {"thing_too_large", Outcome::resweep,
       [](Findings& f) {
         f.recording.emplace();
         f.recording->followed_held = 1;
         f.recording->finger_within_mm = 0.26 * std::min(f.panel_width_mm, f.panel_height_mm);
       },
       false},
  };
}

bool has(const Verdict& verdict, const std::string& id) {
  return std::any_of(verdict.reasons.begin(), verdict.reasons.end(),
                     [&](const Reason& r) { return r.id == id; });
}

Verdict judged(const Findings& f, const std::vector<Condition>& conditions = {}) {
  return judge(f, default_limits(), conditions);
}

// Any mix of the cases.
Findings random_findings(std::mt19937_64& random) {
  Findings f = sound();
  for (const Case& c : cases())
    if (random() % 5 == 0) c.happen(f);
  f.pen_only = random() % 8 == 0;
  f.most_contacts = static_cast<int>(random() % 3);
  return f;
}

std::vector<Condition> random_conditions(std::mt19937_64& random) {
  std::vector<Condition> conditions;
  for (int c = 0; c < 7; ++c)
    if (random() % 6 == 0) conditions.push_back(static_cast<Condition>(c));
  return conditions;
}

}  // namespace

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

TEST_CASE("the customer's text is one sentence without ids, whatever was found") {
  std::mt19937_64 random(29);
  for (int i = 0; i < 500; ++i) {
    const Verdict verdict = judged(random_findings(random), random_conditions(random));
    const std::string& text = verdict.customer;
    REQUIRE(text.size() > 20);
    CHECK(text.back() == '.');
    CHECK(text.find('\n') == std::string::npos);
    CHECK(text.find('_') == std::string::npos);
    CHECK(text.find_first_of("!?") == std::string::npos);
    CHECK(text.find(". ") == std::string::npos);  // a point within a number has no blank behind it
  }
}

TEST_CASE("the customer is told of each outcome in other words") {
  Findings untested = sound(), dead = sound();
  untested.coverage.largest_untested.diameter_mm = 30;
  add_zone(dead, ZoneKind::area);
  const std::set<std::string> texts = {judged(sound()).customer, judged(untested).customer,
                                       judged(dead).customer};
  CHECK(texts.size() == 3);
}

TEST_CASE("the customer is never told of a smaller gap than there was, nor that a place was found for a fault without one") {
  Findings good = sound(), haunted = sound();
  good.coverage.largest_untested.diameter_mm = 6.64;
  CHECK(judged(good).customer.find(" 6.7 mm ") != std::string::npos);
  haunted.ghosts.resize(20);
  REQUIRE(judged(haunted).outcome == Outcome::fail);
  CHECK(judged(haunted).customer.find("where") == std::string::npos);
}

TEST_CASE("reasons and steps are sentences and each step is said once") {
  std::mt19937_64 random(31);
  for (int i = 0; i < 500; ++i) {
    const Verdict verdict = judged(random_findings(random), random_conditions(random));
    for (const Reason& reason : verdict.reasons) {
      CHECK(reason.text.back() == '.');
      CHECK(reason.id.find_first_not_of("abcdefghijklmnopqrstuvwxyz_") == std::string::npos);
    }
    for (const std::string& step : verdict.next_steps) CHECK(step.back() == '.');
    CHECK(std::set<std::string>(verdict.next_steps.begin(), verdict.next_steps.end()).size() ==
          verdict.next_steps.size());
  }
}

TEST_CASE("cautions go with the steps that open a device, and with no others") {
  std::mt19937_64 random(37);
  for (int i = 0; i < 1000; ++i) {
    const Verdict verdict = judged(random_findings(random), random_conditions(random));
    const bool opens =
        std::any_of(verdict.next_steps.begin(), verdict.next_steps.end(), [](const std::string& step) {
          for (const char* work : {"eseat", "flex", "refit", "eplace the panel", "shield", "under the glass"})
            if (step.find(work) != std::string::npos && step.find("Close the device") == std::string::npos)
              return true;
          return false;
        });
    CHECK(verdict.cautions.empty() == !opens);
  }
}

// OSHA SHIB (Jan 2019) on lithium cells; 29 CFR 1910.133 on eyes; IEC 61340-5-1 on static: the cautions
// that a bench needs are all there when one is.
TEST_CASE("the cautions name power, eyes, the cell, static and local codes") {
  Findings f = sound();
  add_zone(f, ZoneKind::line);
  std::string all;
  for (const std::string& caution : judged(f).cautions) all += caution + "\n";
  for (const char* part : {"unplug", "eye protection", "lithium cell", "wrist strap", "ocal codes"})
    CHECK(all.find(part) != std::string::npos);
}

TEST_CASE("what was not tested is said: position, force, display, mask, second finger, pen") {
  Findings f = sound();
  const auto said = [&](const char* part) {
    for (const std::string& line : judged(f).not_tested)
      if (line.find(part) != std::string::npos) return true;
    return false;
  };
  CHECK(said("absolute position"));
  CHECK(said("force"));
  CHECK(said("display"));
  CHECK(said("more than one finger"));
  CHECK_FALSE(said("mask"));
  CHECK_FALSE(said("pen"));
  f.most_contacts = 2, f.coverage.masked_mm2 = 120, f.pen_only = true;
  CHECK_FALSE(said("more than one finger"));
  CHECK(said("mask"));
  CHECK(said("pen"));
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
  CHECK(std::any_of(verdict.not_tested.begin(), verdict.not_tested.end(), [](const std::string& line) { return line.find("5.0 mm wide that the page could not reach") != line.npos; }));
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
