#include "capture/bytes/lines.hpp"

#include <catch2/catch.hpp>
#include <random>
#include <vector>

#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  const auto source = memory_source("m", text);
  std::vector<std::string> out;
  for (Lines lines(*source); lines.next();) {
    out.emplace_back(lines.text());
    REQUIRE(lines.number() == static_cast<std::int64_t>(out.size()));
  }
  return out;
}

using Text = std::vector<std::string>;

}  // namespace

TEST_CASE("lines end at LF, CR LF or the end") {
  CHECK(lines_of("") == Text{});
  CHECK(lines_of("a") == Text{"a"});
  CHECK(lines_of("a\n") == Text{"a"});
  CHECK(lines_of("a\r\n\r\nb\r\r\nc") == Text{"a", "", "b", "c"});
  CHECK(lines_of("\n\n") == Text{"", ""});
}

TEST_CASE("only a last line without an ending says so") {
  const auto source = memory_source("m", "whole\npart");
  Lines lines(*source);
  REQUIRE(lines.next());
  CHECK(lines.ended());
  REQUIRE(lines.next());
  CHECK_FALSE(lines.ended());
}

TEST_CASE("lines that straddle blocks are whole, at any length") {
  const unsigned seed = 20240611;
  CAPTURE(seed);
  std::mt19937 random(seed);
  Text expected;
  std::string text;
  while (text.size() < 3000000) {
    expected.emplace_back(random() % 4 == 0 ? random() % 300000 : random() % 100,
                          static_cast<char>('a' + random() % 26));
    text += expected.back() + "\n";
  }
  CHECK((lines_of(text) == expected));
}

TEST_CASE("a line of over 1 MiB is refused with its number") {
  CHECK(lines_of(std::string(Lines::kLongest, 'x') + "\n").size() == 1);
  try {
    lines_of("a\n" + std::string(Lines::kLongest + 1, 'x'));
    FAIL("not refused");
  } catch (const InputError& error) {
    CHECK(error.exit == Exit::bad_data);
    CHECK(error.place == "line 2");
  }
}
