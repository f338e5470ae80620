// What the technician and the customer are told of a verdict: steps, cautions, what was not tested.
#include "analyzer/verdict/advice.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "tests/analyzer/verdict/made_findings.hpp"

namespace paneproof {

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

TEST_CASE(
    "the customer is never told of a smaller gap than there was, nor that a place was found for a fault "
    "without one") {
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

TEST_CASE("the cautions keep a bare finger off cracked glass") {
  Findings f = sound();
  add_zone(f, ZoneKind::area);
  std::string all;
  for (const std::string& caution : judged(f).cautions) all += caution + "\n";
  CHECK(all.find("no bare finger over a crack") != std::string::npos);
}

TEST_CASE("where to drag again is told in mm and as the device is held") {
  Findings f = sound();
  f.coverage.largest_untested = {66, 140, 20};
  const auto step = [&] { return judged(f).next_steps.front(); };
  CHECK(step().find("x 66 mm, y 140 mm (bottom right)") != std::string::npos);
  CHECK(step().find("marked as left") == std::string::npos);  // nothing is: every cell holds a report
  f.quality.left.push_back({{60, 140}, {68, 140}});
  CHECK(step().find("marked as left") != std::string::npos);
  f.coverage.largest_untested = {34, 70, 20};
  CHECK(step().find("(middle)") != std::string::npos);
  f.coverage.largest_untested = {2, 70, 20};
  CHECK(step().find("(left)") != std::string::npos);
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

}  // namespace paneproof
