#include "analyzer/verdict/limits.hpp"

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

InputError refusal(const std::string& text) {
  try {
    parse_limits(text, "bench.txt");
  } catch (const InputError& error) {
    return error;
  }
  FAIL("accepted: " << text);
  throw 0;
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("docs/limits.txt is what is built in") {
  std::ifstream file(PANEPROOF_SOURCE_DIR "/docs/limits.txt", std::ios::binary);
  REQUIRE(file);
  std::stringstream text;
  text << file.rdbuf();
  CHECK(default_limits_text() == text.str());
}

TEST_CASE("the default names every limit and gives it the value that the text says") {
  const Limits limits = default_limits();
  for (const LimitLine& line : limit_lines(limits)) {
    INFO(line.name);
    CHECK(line.value > 0);
    std::istringstream text{std::string(default_limits_text())};
    bool named = false;
    for (std::string row; std::getline(text, row);) {
      std::istringstream words(row);
      std::string name, equals, unit;
      double value = 0;
      if (!(words >> name >> equals >> value >> unit) || name != line.name) continue;
      CHECK_FALSE(named);
      named = true;
      CHECK(value == line.value);
      CHECK(unit == line.unit);
    }
    CHECK(named);
  }
  CHECK(limits.fingertip_mm == 8);  // the promised default of d
}

TEST_CASE("a file replaces the values that it names and keeps the rest") {
  const Limits limits =
      parse_limits("# our bench\nfingertip = 7.5 mm  # smaller hands\r\n\n  ghosts=5 count\n", "bench.txt");
  CHECK(limits.fingertip_mm == 7.5);
  CHECK(limits.ghosts == 5);
  CHECK(limits.cell_mm == default_limits().cell_mm);
  CHECK(limits.jitter_rms_mm == default_limits().jitter_rms_mm);
  CHECK(parse_limits("", "bench.txt").fingertip_mm == default_limits().fingertip_mm);
}

TEST_CASE("limits printed and read again are the same") {
  std::string text;
  for (const LimitLine& line : limit_lines(default_limits())) {
    std::ostringstream row;
    row.precision(17);
    row << line.name << " = " << line.value << " " << line.unit << "\n";
    text += row.str();
  }
  const auto before = limit_lines(default_limits()), after = limit_lines(parse_limits(text, "bench.txt"));
  REQUIRE(after.size() == before.size());
  for (std::size_t i = 0; i < before.size(); ++i) CHECK(after[i].value == before[i].value);
}

TEST_CASE("an unknown name is refused with its line and the names there are") {
  const InputError error = refusal("fingertip = 8 mm\n\nfingertips = 8 mm\n");
  CHECK(error.exit == Exit::bad_data);
  CHECK(error.file == "bench.txt");
  CHECK(holds(error.place, "line 3"));
  CHECK(holds(error.expected, "fingertip, cell"));
  CHECK(holds(error.expected, "fingertips"));
  CHECK_FALSE(error.remedy.empty());
}

TEST_CASE("a wrong or missing unit is refused with its line and the right one") {
  for (const char* text : {"# a\nfingertip = 8 cm\n", "# a\nfingertip = 8\n", "# a\nfingertip = 8 mm mm\n",
                           "# a\nfingertip = 8mmm\n"}) {
    INFO(text);
    const InputError error = refusal(text);
    CHECK(error.exit == Exit::bad_data);
    CHECK(holds(error.place, "line 2"));
    CHECK(holds(error.expected, "mm"));
  }
}

TEST_CASE("a value out of range is refused with its line and the range") {
  for (const char* text :
       {"fingertip = 0 mm", "fingertip = -8 mm", "fingertip = 1e9 mm", "ghosts = 0 count"}) {
    INFO(text);
    const InputError error = refusal(text);
    CHECK(error.exit == Exit::bad_data);
    CHECK(holds(error.place, "line 1"));
    CHECK(holds(error.expected, " to "));
  }
}

TEST_CASE("what is no number is refused with its line") {
  for (const char* text : {"fingertip = wide mm", "fingertip = nan mm", "fingertip = inf mm",
                           "fingertip = mm", "fingertip =", "fingertip", "= 8 mm", "fingertip = 0x8 mm",
                           "fingertip = 8,5 mm", "fingertip = 1e999 mm"}) {
    INFO(text);
    const InputError error = refusal(text);
    CHECK(error.exit == Exit::bad_data);
    CHECK(holds(error.place, "line 1"));
  }
}

TEST_CASE("a name that stands twice is refused with the second line") {
  const InputError error = refusal("fingertip = 8 mm\ncell = 5 mm\nfingertip = 8 mm\n");
  CHECK(holds(error.place, "line 3"));
  CHECK(error.exit == Exit::bad_data);
}

TEST_CASE("any bytes give limits or one refusal") {
  std::uint64_t state = 88172645463325252ull;
  const auto next = [&] { return state ^= state << 13, state ^= state >> 7, state ^= state << 17; };
  const std::string pieces[] = {
      "fingertip",          "cell",     " = ",   "=", "8",     "mm", " ", "\n", "#", "\r",
      std::string(1, '\0'), "\xff\xfe", "9e307", "-", "count", "\t"};
  for (int i = 0; i < 5000; ++i) {
    std::string text;
    for (std::uint64_t n = next() % 14; n > 0; --n) text += pieces[next() % std::size(pieces)];
    try {
      const Limits limits = parse_limits(text, "bench.txt");
      if (!(limits.fingertip_mm >= 1 && limits.fingertip_mm <= 100))
        FAIL_CHECK("a limit out of all bounds from: " << text);
    } catch (const InputError& error) {
      if (error.exit != Exit::bad_data || !holds(error.place, "line "))
        FAIL_CHECK("a refusal without its line: " << text);
    }
  }
}

}  // namespace paneproof
