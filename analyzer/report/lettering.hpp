// How wide lettering is and where its lines break, without asking a font: the page is laid out from
// a table of advance widths, so that every machine lays it out alike, whichever painter follows.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace paneproof {

// Width of one line of DejaVu Sans in page units. Characters outside ASCII count as a whole em.
double lettering_width(std::string_view characters, double size, bool bold = false);

// The text in lines no wider than `width`, broken at blanks; a word that is wider is broken inside.
// At most `most_lines` (0: any number); the last then ends in "…". An empty text has no lines.
std::vector<std::string> broken_lines(std::string_view text, double width, double size, bool bold = false,
                                      std::size_t most_lines = 0);

// The text in lines of at most `columns` characters, for a terminal. Same rules.
std::vector<std::string> broken_lines(std::string_view text, std::size_t columns);

// How many characters (code points) a valid UTF-8 text has.
std::size_t character_count(std::string_view text);

}  // namespace paneproof
