#include "analyzer/report/terminal.hpp"

#include <catch2/catch.hpp>
#include <regex>
#include <sstream>

#include "analyzer/report/lettering.hpp"
#include "tests/analyzer/report/example_result.hpp"

using namespace paneproof;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::istringstream stream(text);
  std::vector<std::string> lines;
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

}  // namespace

TEST_CASE("no line of the summary is wider than 80 characters") {
  const unsigned seed = 11;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 50; ++i) {
    const example::Parts parts = example::random_panel(random);
    for (const std::string& line : lines_of(terminal_summary(parts.result(), false))) {
      CAPTURE(line);
      CHECK(character_count(line) <= 80);
    }
  }
}

TEST_CASE("a plain summary holds no control characters, whatever the log's text holds") {
  const unsigned seed = 12;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 50; ++i) {
    const example::Parts parts = example::random_panel(random);
    for (const char c : terminal_summary(parts.result(), false))
      REQUIRE((c == '\n' || static_cast<unsigned char>(c) >= 32));
  }
}

TEST_CASE("colour adds codes and changes no word") {
  const example::Parts parts = example::faulty_panel(68, 142);
  const std::string coloured = terminal_summary(parts.result(), true);
  CHECK(coloured.find('\x1b') != std::string::npos);
  CHECK(std::regex_replace(coloured, std::regex("\x1b\\[[0-9;]*m"), "") ==
        terminal_summary(parts.result(), false));
}

TEST_CASE("the verdict is the first word") {
  CHECK(terminal_summary(example::good_panel(68, 142).result(), false).rfind("PASS", 0) == 0);
  CHECK(terminal_summary(example::faulty_panel(68, 142).result(), false).rfind("FAIL", 0) == 0);
}

TEST_CASE("every reason, step, caution, note and the customer's sentence can be read") {
  const example::Parts parts = example::faulty_panel(68, 142);
  std::string joined;
  for (const std::string& line : lines_of(terminal_summary(parts.result(), false)))
    joined += std::regex_replace(line, std::regex("^ +"), "") + " ";
  const auto holds = [&](const std::string& text) {
    CAPTURE(text);
    CHECK(joined.find(text) != std::string::npos);
  };
  for (const Reason& reason : parts.verdict.reasons) holds(reason.id + ": " + reason.text);
  for (const std::string& step : parts.verdict.next_steps) holds(step);
  for (const std::string& caution : parts.verdict.cautions) holds(caution);
  for (const std::string& thing : parts.verdict.not_tested) holds(thing);
  for (const Note& note : parts.notes) holds(note.text);
  holds(parts.verdict.customer);
}

TEST_CASE("a panel that is not wholly proven never reads as 100 percent") {
  example::Parts parts = example::good_panel(68, 142);
  parts.findings.coverage.proven = 0.9999;
  parts.findings.coverage.silent = 0.0001;
  const std::string text = terminal_summary(parts.result(), false);
  CHECK(text.find("99.9 %") != std::string::npos);
  CHECK(text.find("100.0 %") == std::string::npos);
  CHECK(text.find("silent 0.1 %") != std::string::npos);
}

TEST_CASE("the untested circle is never understated") {
  example::Parts parts = example::good_panel(68, 142);
  parts.findings.coverage.largest_untested.diameter_mm = 8.01;
  CHECK(terminal_summary(parts.result(), false).find("8.01 mm at") != std::string::npos);
  parts.findings.coverage.largest_untested.diameter_mm = 8.0001;
  CHECK(terminal_summary(parts.result(), false).find("8.01 mm at") != std::string::npos);
}
