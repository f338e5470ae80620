#include "analyzer/report/lettering.hpp"

#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_ADVANCES_H

#include <catch2/catch.hpp>
#include <random>

using namespace paneproof;

namespace {

// Width of a text at size 2048 by FreeType's reading of the font itself (Debian's fonts-dejavu-core).
double measured(const char* file, const std::string& text) {
  FT_Library library = nullptr;
  FT_Face face = nullptr;
  REQUIRE(FT_Init_FreeType(&library) == 0);
  REQUIRE(FT_New_Face(library, file, 0, &face) == 0);
  double sum = 0;
  for (const char c : text) {
    FT_Fixed advance = 0;
    REQUIRE(FT_Get_Advance(face, FT_Get_Char_Index(face, static_cast<FT_ULong>(c)), FT_LOAD_NO_SCALE,
                           &advance) == 0);
    sum += static_cast<double>(advance);
  }
  FT_Done_Face(face);
  FT_Done_FreeType(library);
  return sum;
}

}  // namespace

TEST_CASE("lettering is as wide as the font says") {
  std::string every;
  for (char c = ' '; c <= '~'; ++c) every += c;
  CHECK(lettering_width(every, 2048) == measured("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf", every));
  CHECK(lettering_width(every, 2048, true) ==
        measured("/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf", every));
}

TEST_CASE("broken lines fit their width and lose no character but blanks") {
  const unsigned seed = 51;
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 200; ++i) {
    std::string text, letters, rejoined;
    for (auto count = random() % 200; count > 0; --count) {
      static const char* const pieces[] = {"a", "W", " ", "é", "…", "1", "."};
      const char* piece = pieces[random() % 7];
      text += piece;
      if (*piece != ' ') letters += piece;
    }
    const std::size_t columns = 1 + random() % 40;
    for (const std::string& line : broken_lines(text, columns)) {
      CHECK(character_count(line) <= columns);
      for (const char c : line)
        if (c != ' ') rejoined += c;
    }
    CHECK(rejoined == letters);
  }
}

TEST_CASE("a text cut to so many lines ends in dots and still fits") {
  const auto lines = broken_lines("one two three four five six seven eight nine ten", 80, 12, false, 2);
  REQUIRE(lines.size() == 2);
  CHECK(lines[1].ends_with("…"));
  CHECK(lettering_width(lines[1], 12) <= 80);
}
