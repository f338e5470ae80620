#include "analyzer/report/palette.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr std::size_t largest = 256;
constexpr std::size_t cube_side = 4, cube_size = cube_side * cube_side * cube_side;

void add_once(std::vector<Colour>& colours, const Colour& colour) {
  if (std::find(colours.begin(), colours.end(), colour) == colours.end()) colours.push_back(colour);
}

Colour blend(const Colour& from, const Colour& to, int step, int steps) {
  const auto part = [&](int a, int b) { return static_cast<std::uint8_t>(a + (b - a) * step / steps); };
  return {part(from.red, to.red), part(from.green, to.green), part(from.blue, to.blue)};
}

std::uint32_t bin_of(const Colour& colour) {
  return static_cast<std::uint32_t>(colour.red >> 3 << 10 | colour.green >> 3 << 5 | colour.blue >> 3);
}

int distance(const Colour& a, const Colour& b) {
  const int red = a.red - b.red, green = a.green - b.green, blue = a.blue - b.blue;
  return 2 * red * red + 4 * green * green + 3 * blue * blue;
}

}  // namespace

Palette::Palette(const Picture& picture) : entries_(std::size_t{1} << 15, -1) {
  std::vector<Colour> grounds, inks;
  for (const Shape& shape : picture.shapes) {
    const bool ground = std::holds_alternative<Rectangle>(shape.form) && !shape.pen;
    if (shape.fill) add_once(ground ? grounds : inks, *shape.fill);
    if (shape.pen) add_once(inks, shape.pen->colour);
  }
  for (const auto* list : {&grounds, &inks})
    for (const Colour& colour : *list) add_once(colours_, colour);
  colours_.resize(std::min(colours_.size(), largest - cube_size));
  for (std::size_t i = 0; i < colours_.size(); ++i) {
    std::int16_t& entry = entries_[bin_of(colours_[i])];
    if (entry < 0) entry = static_cast<std::int16_t>(i);
  }
  add_blends(grounds, inks);
  add_cube();
}

void Palette::add_blends(const std::vector<Colour>& grounds, const std::vector<Colour>& inks) {
  for (std::size_t g = 0; g < grounds.size(); ++g) {
    for (std::size_t i = 0; i < inks.size(); ++i) {
      const int steps = g == 0 && i < 3 ? 8 : 4;  // most lettering is one of the first inks on the page
      if (colours_.size() + static_cast<std::size_t>(steps) > largest - cube_size) return;
      for (int step = 1; step < steps; ++step) add_once(colours_, blend(grounds[g], inks[i], step, steps));
    }
  }
}

void Palette::add_cube() {
  for (std::size_t i = 0; i < cube_size; ++i) {
    const auto level = [](std::size_t step) {
      return static_cast<std::uint8_t>(step % cube_side * 255 / (cube_side - 1));
    };
    add_once(colours_, {level(i / cube_side / cube_side), level(i / cube_side), level(i)});
  }
}

std::int16_t Palette::nearest(std::uint32_t bin) {
  const auto middle = [](std::uint32_t bits) { return static_cast<std::uint8_t>((bits & 31) * 8 + 4); };
  const Colour wanted{middle(bin >> 10), middle(bin >> 5), middle(bin)};
  std::size_t best = 0;
  for (std::size_t i = 1; i < colours_.size(); ++i)
    if (distance(colours_[i], wanted) < distance(colours_[best], wanted)) best = i;
  return entries_[bin] = static_cast<std::int16_t>(best);
}

}  // namespace paneproof
