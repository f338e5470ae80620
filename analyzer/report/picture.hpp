// A drawing as a list of shapes, in the order in which they are laid on the page. The heatmap makes
// one; each painter (PNG, SVG) walks the list. Lengths in page units: one is one pixel of the PNG.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace paneproof {

struct Colour {
  std::uint8_t red = 0, green = 0, blue = 0;
  bool operator==(const Colour&) const = default;
};

// A place on the page: x right, y down, from its top left.
struct Spot {
  double x = 0, y = 0;
};

struct Pen {
  Colour colour;
  double width = 1;
  double dash = 0, gap = 0;  // both 0: a whole line
};

struct Rectangle {
  double x = 0, y = 0, width = 0, height = 0;
  double radius = 0;  // of its corners
};

struct Disc {
  double x = 0, y = 0, radius = 0;
};

struct Polyline {
  std::vector<Spot> spots;  // two or more
  bool closed = false;
};

// Single lines that share a pen: textures and ticks.
struct Segments {
  std::vector<std::pair<Spot, Spot>> lines;
};

enum class Anchor : std::uint8_t { start, middle, end };

// One line of lettering; (x, y) is on its baseline. `characters` is valid UTF-8 without controls.
struct Lettering {
  double x = 0, y = 0, size = 13;
  std::string characters;
  bool bold = false;
  Anchor anchor = Anchor::start;
};

struct Shape {
  // What the shape tells, in one word with dashes: "cell-silent", "dead-zone", "path". Stable: SVG
  // carries it as the class, so a page may restyle or hide by it. Points to static storage.
  const char* role = "";
  std::variant<Rectangle, Disc, Polyline, Segments, Lettering> form;
  std::optional<Colour> fill;  // of lettering: its colour
  std::optional<Pen> pen;
};

struct Picture {
  double width = 0, height = 0;  // whole page units
  std::string title;             // for readers who cannot see it
  std::vector<Shape> shapes;
};

}  // namespace paneproof
