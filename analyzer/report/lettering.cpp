#include "analyzer/report/lettering.hpp"

#include <array>
#include <functional>

namespace paneproof {
namespace {

// Advance widths of U+0020..U+007E in 1/2048 em: table `hmtx` of DejaVu Sans and DejaVu Sans Bold 2.37.
constexpr std::array<std::uint16_t, 95> book_widths = {
    651,  821,  942,  1716, 1303, 1946, 1597, 563,  799,  799,  1024, 1716, 651,  739,  651,  690,
    1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 690,  690,  1716, 1716, 1716, 1087,
    2048, 1401, 1405, 1430, 1577, 1294, 1178, 1587, 1540, 604,  604,  1343, 1141, 1767, 1532, 1612,
    1235, 1612, 1423, 1300, 1251, 1499, 1401, 2025, 1403, 1251, 1403, 799,  690,  799,  1716, 1024,
    1024, 1255, 1300, 1126, 1300, 1260, 721,  1300, 1298, 569,  569,  1186, 569,  1995, 1298, 1253,
    1300, 1300, 842,  1067, 803,  1298, 1212, 1675, 1212, 1212, 1075, 1303, 690,  1303, 1716};
constexpr std::array<std::uint16_t, 95> bold_widths = {
    713,  934,  1067, 1716, 1425, 2052, 1786, 627,  936,  936,  1071, 1716, 778,  850,  778,  748,
    1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 819,  819,  1716, 1716, 1716, 1188,
    2048, 1585, 1561, 1503, 1700, 1399, 1399, 1681, 1714, 762,  762,  1587, 1305, 2038, 1714, 1741,
    1501, 1741, 1577, 1475, 1397, 1663, 1585, 2259, 1579, 1483, 1485, 936,  748,  936,  1716, 1024,
    1024, 1382, 1466, 1214, 1466, 1389, 891,  1466, 1458, 702,  702,  1362, 702,  2134, 1458, 1407,
    1466, 1466, 1010, 1219, 979,  1458, 1335, 1892, 1321, 1335, 1192, 1458, 748,  1458, 1716};
constexpr double widest_usual = 2048;  // "…", "—"; more than "×" and "Ø"

bool continues(char byte) { return (static_cast<unsigned char>(byte) & 0xC0) == 0x80; }

using Measure = std::function<double(std::string_view)>;

// How many bytes of `word` fit into `width`; at least one whole character.
std::size_t fitting(std::string_view word, double width, const Measure& measure) {
  std::size_t fits = 0;
  for (std::size_t end = 1; end <= word.size(); ++end) {
    if (end < word.size() && continues(word[end])) continue;
    if (fits > 0 && measure(word.substr(0, end)) > width) break;
    fits = end;
  }
  return fits;
}

std::vector<std::string> break_text(std::string_view text, double width, const Measure& measure) {
  std::vector<std::string> lines;
  std::string line;
  const auto flush = [&] {
    line.erase(line.find_last_not_of(' ') + 1);
    if (!line.empty()) lines.push_back(std::move(line));
    line.clear();
  };
  while (!text.empty()) {
    const std::size_t blank = text.find_first_of(" \n");
    std::string_view word = text.substr(0, blank);
    const std::string longer = line.empty() ? std::string(word) : line + ' ' + std::string(word);
    if (measure(longer) <= width) {
      line = longer;
    } else {
      flush();
      while (measure(word) > width && word.size() > 1) {
        const std::size_t part = fitting(word, width, measure);
        if (part == word.size()) break;
        lines.emplace_back(word.substr(0, part));
        word.remove_prefix(part);
      }
      line = word;
    }
    if (blank == std::string_view::npos) break;
    if (text[blank] == '\n') flush();
    text.remove_prefix(blank + 1);
  }
  flush();
  return lines;
}

void end_in_dots(std::string& line, double width, const Measure& measure) {
  const std::string_view dots = "…";
  while (!line.empty() && measure(line + std::string(dots)) > width) {
    while (!line.empty() && continues(line.back())) line.pop_back();
    if (!line.empty()) line.pop_back();
  }
  line += dots;
}

}  // namespace

double lettering_width(std::string_view characters, double size, bool bold) {
  const auto& widths = bold ? bold_widths : book_widths;
  double sum = 0;
  for (const char byte : characters) {
    if (byte >= ' ' && byte <= '~')
      sum += widths[static_cast<std::size_t>(byte - ' ')];
    else if (!continues(byte))
      sum += widest_usual;
  }
  return sum * size / 2048.0;
}

std::vector<std::string> broken_lines(std::string_view text, double width, double size, bool bold,
                                      std::size_t most_lines) {
  const Measure measure = [&](std::string_view part) { return lettering_width(part, size, bold); };
  std::vector<std::string> lines = break_text(text, width, measure);
  if (most_lines > 0 && lines.size() > most_lines) {
    lines.resize(most_lines);
    end_in_dots(lines.back(), width, measure);
  }
  return lines;
}

std::vector<std::string> broken_lines(std::string_view text, std::size_t columns) {
  return break_text(text, static_cast<double>(columns),
                    [](std::string_view part) { return static_cast<double>(character_count(part)); });
}

std::size_t character_count(std::string_view text) {
  std::size_t count = 0;
  for (const char byte : text) count += !continues(byte);
  return count;
}

}  // namespace paneproof
