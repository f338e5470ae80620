// A made-up home screen in luma: what stands on it and how it is drawn. Everything comes from the seed.
// Lengths in px of the frame, times in s. Truth is what is put in, never what a tracker says.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

namespace paneproof::clips {

// A luma picture; pixel i spans [i, i + 1).
struct Canvas {
  int width = 0, height = 0;
  std::vector<float> luma;
  float* row(int y) { return luma.data() + static_cast<std::size_t>(y) * width; }
};

using Dice = std::mt19937_64;
double pick(Dice& dice, double low, double high);
int pick_int(Dice& dice, int low, int high);

enum class Outline { rounded, round, squircle, card };

// How one icon looks: plate, drawing on it, label, badge. Sizes are shares of the plate's side.
struct Look {
  Outline outline = Outline::rounded;
  double aspect = 1;  // height of the plate over its width
  double corner = 0.25;
  double base = 120, slope_x = 0, slope_y = 0;  // luma in the middle, and its rise over the plate
  double border = 0, border_luma = 0;           // thin line inside the outline
  struct Mark {
    int kind = 0;  // 0 disc, 1 bar, 2 ring
    double x = 0, y = 0, size = 0.2, turn = 0, luma = 255;
  };
  std::vector<Mark> marks;
  bool label = true, badge = false;
  double label_luma = 240;
  std::uint64_t label_seed = 1;
};
Look random_look(Dice& dice, int style);

// An icon as it stands in one frame.
struct Placed {
  const Look* look = nullptr;
  double x = 0, y = 0;  // centre of the plate
  double side = 100;    // of the plate, before `scale`
  double scale = 1, turn = 0, opacity = 1;
  double label_opacity = 1, shadow = 0;  // shadow: darkness 0..1 under the plate
};
void draw(Canvas& canvas, const Placed& icon);

// Soft backgrounds: `kind` 0 plain, 1 slope, 2 blobs, 3 stripes with grain, 4 busy.
struct Wallpaper {
  int kind = 2;
  double base = 90;
  std::vector<double> terms;  // 5 a term: x, y, spread, height, -
  void make(Dice& dice, int kind, int width, int height);
  void draw(Canvas& canvas, double shift_x) const;
};

void draw_bar(Canvas& canvas, double x, double y, double width, double height, double radius, double luma,
              double opacity);
// The digits of a clock as blocks that change with the second.
void draw_clock(Canvas& canvas, double second, double luma);

// What a system draws under a finger.
enum class Cursor { none, dot, ring, cross };
void draw_cursor(Canvas& canvas, Cursor cursor, double x, double y, double size, double opacity);

}  // namespace paneproof::clips
