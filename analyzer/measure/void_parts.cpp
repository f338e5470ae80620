#include "analyzer/measure/void_parts.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <utility>

#include "analyzer/measure/distance_map.hpp"

namespace paneproof {
namespace {

constexpr std::size_t no_side = 0, side_count = 5;  // no side, and four
constexpr double flanked_mm = 18.0;                 // three dead lines
constexpr double deep_mm = 16.0, beyond_mm = 8.0;   // into the panel, and beyond a margin
constexpr double hardly_any_share = 0.25;           // of what lies along the side of which there is most
constexpr int sides_of_a_corner = 2;

// The glass as lines of pixels, each from one side to the side across.
struct Lines {
  const Raster& raster;
  bool upright, backwards;
  int count() const { return upright ? raster.columns : raster.rows; }
  int length() const { return upright ? raster.rows : raster.columns; }
  std::size_t pixel(int line, int k) const {
    const int along = backwards ? length() - 1 - k : k;
    return upright ? raster.index(line, along) : raster.index(along, line);
  }
};

// Per pixel: length of the run, along such lines, of pixels that are not covered; over the whole line at a
// side, where nothing on one hand is.
std::vector<int> free_runs(const Lines& lines, const std::vector<std::uint8_t>& covered) {
  std::vector<int> runs(covered.size(), 0);
  for (int line = 0; line < lines.count(); ++line)
    for (int from = 0, to = 0; from < lines.length(); from = to + 1) {
      to = from;
      while (to < lines.length() && !covered[lines.pixel(line, to)]) ++to;
      const bool open = from == 0 || to == lines.length();
      for (int k = from; k < to; ++k) runs[lines.pixel(line, k)] = open ? lines.length() : to - from;
    }
  return runs;
}

// By label: does the region reach this far into the panel, well beyond the margins? Between the ends of
// strokes that stop short of a side it reaches a little beyond.
std::vector<std::uint8_t> reaching_in(const Regions& regions, const std::vector<std::uint8_t>& margin,
                                      const Raster& raster) {
  std::vector<std::uint8_t> found(regions.found.size(), 0);
  const int deep = static_cast<int>(deep_mm / raster.pixel_mm);
  const std::vector<float> off = distance_map(margin, raster.stride(), raster.height());
  const double beyond = beyond_mm / raster.pixel_mm;
  for (int row = deep; row < raster.rows - deep; ++row)
    for (int column = deep; column < raster.columns - deep; ++column)
      if (const std::size_t at = raster.index(column, row); off[at] > beyond)
        found[static_cast<std::size_t>(regions.labels[at])] = 1;
  return found;
}

// By label: along how many sides the region lies, those apart of which it has hardly anything.
std::vector<int> sides_of(const Regions& regions, const std::vector<std::uint8_t>& margin) {
  std::vector<std::array<int, side_count>> pixels(regions.found.size());
  for (std::size_t i = 0; i < margin.size(); ++i)
    ++pixels[static_cast<std::size_t>(regions.labels[i])][margin[i]];
  std::vector<int> sides;
  for (const auto& of : pixels) {
    const int most = *std::max_element(of.begin() + 1, of.end());
    sides.push_back(static_cast<int>(
        std::count_if(of.begin() + 1, of.end(), [&](int count) { return count > hardly_any_share * most; })));
  }
  return sides;
}

}  // namespace

std::vector<std::uint8_t> margins(const Raster& raster, const std::vector<std::uint8_t>& covered) {
  std::vector<std::uint8_t> found(covered.size(), no_side);
  std::vector<std::pair<int, int>> least(covered.size());  // how deep it is there, and how far from the side
  const int flanked = static_cast<int>(flanked_mm / raster.pixel_mm);
  std::uint8_t side = no_side;
  for (const bool upright : {true, false}) {
    const std::vector<int> hands = free_runs({raster, !upright, false}, covered);
    for (const bool backwards : {false, true}) {
      ++side;
      const Lines lines{raster, upright, backwards};
      for (int line = 0; line < lines.count(); ++line) {
        int deep = 0;
        while (deep < lines.length() && !covered[lines.pixel(line, deep)]) ++deep;
        for (int k = 0; k < deep; ++k) {
          const std::size_t at = lines.pixel(line, k);
          if (hands[at] <= std::max(flanked, deep)) continue;
          const std::pair<int, int> here{deep, k};
          if (found[at] == no_side || here < least[at]) found[at] = side, least[at] = here;
        }
      }
    }
  }
  return found;
}

Regions parts_of(const Regions& whole, const std::vector<std::uint8_t>& margin, const Raster& raster) {
  const std::vector<std::uint8_t> reaches_in = reaching_in(whole, margin, raster);
  const std::vector<int> sides = sides_of(whole, margin);
  const auto part = [&](std::size_t at) {
    const auto label = static_cast<std::size_t>(whole.labels[at]);
    return reaches_in[label] || sides[label] > sides_of_a_corner ? margin[at] : no_side;
  };
  Regions parts{std::vector<std::int32_t>(whole.labels.size(), 0), std::vector<Region>(1)};
  for (std::size_t side = no_side; side < side_count; ++side) {
    std::vector<std::uint8_t> mask(whole.labels.size(), 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = whole.labels[i] && part(i) == side;
    const Regions more = regions_of(mask, raster.stride(), raster.height(), 0);
    const auto before = static_cast<std::int32_t>(parts.found.size()) - 1;
    for (std::size_t i = 0; i < mask.size(); ++i)
      if (more.labels[i]) parts.labels[i] = before + more.labels[i];
    parts.found.insert(parts.found.end(), more.found.begin() + 1, more.found.end());
  }
  return parts;
}

}  // namespace paneproof
