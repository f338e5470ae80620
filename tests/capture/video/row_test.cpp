// Lists whose rows are as long as the picture is wide: 270 x 600, 60 pictures a second, white rows with a
// disc and a word on grey, without a codec.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>

#include "capture/video/follow.hpp"
#include "tests/clips/plane_of.hpp"
#include "tests/clips/scene.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

constexpr int width = 270, height = 600, rows = 9;
constexpr double long_side = 258, short_side = 44, pitch = 54, middle = 135;

double soft(double u) { return u <= 0 ? 0 : u >= 1 ? 1 : u * u * u * (u * (6 * u - 15) + 10); }
double slot(int k) { return 80 + pitch * k; }

void draw_row(Canvas& canvas, int number, double x, double y) {
  const double left = x - long_side / 2;
  draw_bar(canvas, left, y - short_side / 2, long_side, short_side, 4, 250, 1);
  draw_bar(canvas, left + 12, y - 12, 24, 24, 12, 40 + 23 * (number * 5 % 8), 1);
  for (int letter = 0; letter < 6; ++letter)
    draw_bar(canvas, left + 50 + 9 * letter, y - 5, 4 + (number * 7 + letter * 3) % 4,
             8 + (number + letter * 5) % 6, 1, 40, 1);
}

// Row 3 goes as far from its slot as `hand` says, the rows it passes make room; all rows go down by
// `scrolled`.
struct List {
  double seconds = 4;
  std::function<double(double)> hand = [](double) { return 0.0; };
  std::function<double(double)> scrolled = [](double) { return 0.0; };
  std::function<double(double)> banner;  // its middle
};

video::Path followed(const List& list) {
  video::Follow follow(1, {});
  Canvas canvas{width, height, std::vector<float>(width * height)};
  std::vector<double> aside(rows, 0.0);
  for (int i = 0; i < 60 * list.seconds; ++i) {
    const double t = i / 60.0, held = slot(3) + list.hand(t);
    std::fill(canvas.luma.begin(), canvas.luma.end(), 205.0F);
    for (int k = 0; k < rows; ++k) {
      if (k == 3) continue;
      const double to = k > 3 && held > slot(k) - pitch / 2   ? -pitch
                        : k < 3 && held < slot(k) + pitch / 2 ? pitch
                                                              : 0;
      double& off = aside[static_cast<std::size_t>(k)];
      off += 0.25 * (to - off);
      draw_row(canvas, k, middle, slot(k) + off + list.scrolled(t));
    }
    draw_row(canvas, 3, middle, held + list.scrolled(t));
    if (list.banner) draw_row(canvas, 20, middle, list.banner(t));
    video::Frame frame;
    frame.t_us = std::llround(t * 1e6);
    frame.plane = plane_of(canvas);
    follow.add(std::move(frame));
  }
  return follow.finish();
}

}  // namespace

TEST_CASE("a row as long as the picture is wide is followed by its middle") {
  List list;
  list.hand = [](double t) {
    return 190 * soft((t - 0.8) / 0.6) - 260 * soft((t - 1.5) / 0.6) + 150 * soft((t - 2.2) / 0.6);
  };
  const video::Path path = followed(list);
  CHECK(path.rows.size() > 130);
  for (const video::Row& row : path.rows) {
    CHECK(std::abs(row.x - middle) < 0.01 * width);
    CHECK(std::abs(row.y - slot(3) - list.hand(static_cast<double>(row.t_us) * 1e-6)) < 0.01 * width);
  }
}

TEST_CASE("a row that stops short and glides to its slot at its old size was dropped") {
  List list;
  const double drop_s = 2.0;
  const auto held = [](double t) { return 190 * soft((t - 0.8) / 0.6) - 260 * soft((t - 1.6) / 0.7); };
  list.hand = [&](double t) {
    return t <= drop_s ? held(t) : held(drop_s) + (pitch - held(drop_s)) * soft((t - drop_s) / 0.25);
  };
  const video::Path path = followed(list);
  REQUIRE(path.endings.size() == 1);
  CHECK(path.endings.front().kind == LetGo::Kind::drop);
  CHECK(std::abs(static_cast<double>(path.endings.front().t_us) * 1e-6 - drop_s) < 0.05);
}

TEST_CASE("a list that scrolls is no drag of its rows") {
  List list;
  list.scrolled = [](double t) { return 60 * std::sin(3 * std::max(0.0, t - 0.8)); };
  CHECK(followed(list).rows.empty());
}

TEST_CASE("a banner as long as a row that comes from above and goes is no drag") {
  List list;
  list.banner = [](double t) { return -40 + 90 * soft((t - 0.8) / 0.5) - 90 * soft((t - 2.3) / 0.5); };
  CHECK(followed(list).rows.empty());
}
