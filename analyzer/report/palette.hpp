// The colours of a picture as a palette of at most 256: its own colours exactly, the blends that
// smooth edges need between inks and grounds, and a coarse cube for whatever else arises.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/report/picture.hpp"

namespace paneproof {

class Palette {
 public:
  explicit Palette(const Picture& picture);

  const std::vector<Colour>& colours() const { return colours_; }
  // The entry for a pixel 0xRRGGBB (the top byte is ignored): its own when the picture names the
  // colour, else the nearest to within a 32nd of the range.
  std::uint8_t entry(std::uint32_t pixel) {
    const std::uint32_t bin = (pixel >> 9 & 0x7C00) | (pixel >> 6 & 0x3E0) | (pixel >> 3 & 0x1F);
    const std::int16_t known = entries_[bin];
    return static_cast<std::uint8_t>(known >= 0 ? known : nearest(bin));
  }

 private:
  std::int16_t nearest(std::uint32_t bin);
  void add_blends(const std::vector<Colour>& grounds, const std::vector<Colour>& inks);
  void add_cube();

  std::vector<Colour> colours_;
  std::vector<std::int16_t> entries_;  // by 5 bits of red, green and blue; -1: not asked for yet
};

}  // namespace paneproof
