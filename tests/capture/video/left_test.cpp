// Drags in recordings of few pictures a second: flat cards on plain ground that go half their size from one
// picture to the next while others make room. Without a codec.
#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <functional>
#include <utility>
#include <vector>

#include "capture/video/follow.hpp"

using namespace paneproof;
using namespace paneproof::video;

namespace {

struct Point {
  double x, y;
};

struct Look {
  int width, height;  // of the picture, px
  double card_w, card_h;
  int ground;
  std::function<int(int card, double u, double v)> luma;  // from its middle, px
  double lifted = 1;                                      // size while held
};

struct Card {
  int number;
  Point at;
  double size = 1;
};

// Cards one over another, in this order.
Plane drawn(const Look& look, const std::vector<Card>& cards) {
  Plane plane{look.width, look.height,
              std::vector<std::uint8_t>(static_cast<std::size_t>(look.width) * look.height,
                                        static_cast<std::uint8_t>(look.ground))};
  for (const Card& card : cards)
    for (int y = 0; y < look.height; ++y)
      for (int x = 0; x < look.width; ++x) {
        double sum = 0, n = 0;
        for (const double fy : {0.25, 0.75})
          for (const double fx : {0.25, 0.75}) {
            const double u = (x + fx - card.at.x) / card.size, v = (y + fy - card.at.y) / card.size;
            if (std::abs(u) > look.card_w / 2 || std::abs(v) > look.card_h / 2) continue;
            sum += look.luma(card.number, u, v), ++n;
          }
        std::uint8_t& px = plane.row(y)[x];
        px = static_cast<std::uint8_t>((sum + (4 - n) * px) / 4);
      }
  return plane;
}

// A white card with a rim and a drawing of its own near its corner.
int white_card(int card, double u, double v) {
  if (std::abs(u) > 39 || std::abs(v) > 39) return 215;
  const int column = static_cast<int>(std::floor((u + 32) / 4)),
            row = static_cast<int>(std::floor((v + 32) / 4));
  if (column < 0 || column > 2 || row < 0 || row > 2) return 254;
  constexpr std::array<int, 6> drawings{0b111100100, 0b010111010, 0b001011111,
                                        0b110011001, 0b101010101, 0b011110010};
  return drawings[static_cast<std::size_t>(card)] >> (3 * row + column) & 1 ? 40 : 254;
}

int plain_plate(int card, double, double) {
  constexpr std::array<int, 6> lumas{76, 150, 29, 205, 179, 105};
  return lumas[static_cast<std::size_t>(card)];
}

double soft(double u) { return u <= 0 ? 0 : u >= 1 ? 1 : u * u * (3 - 2 * u); }

struct Followed {
  Path path;
  std::vector<Point> truth;  // a frame; x < 0: not held
  std::vector<std::int64_t> t_us;
  void see(Follow& follow, Plane plane, double t, Point at) {
    truth.push_back(at);
    t_us.push_back(std::llround(t * 1e6));
    Frame frame;
    frame.t_us = t_us.back();
    frame.plane = std::move(plane);
    follow.add(std::move(frame));
  }
  double near(double within) const {
    double with = 0, held = 0;
    for (std::size_t f = 0; f < truth.size(); ++f) {
      if (truth[f].x < 0) continue;
      ++held;
      with += std::any_of(path.rows.begin(), path.rows.end(), [&](const Row& row) {
        return row.t_us == t_us[f] && std::hypot(row.x - truth[f].x, row.y - truth[f].y) < within;
      });
    }
    return with / held;
  }
  // Told where nothing is held, or elsewhere than it is; a picture about a grab's first and last is left out.
  int wrong(double within) const {
    int n = 0;
    for (const Row& row : path.rows) {
      bool right = false;
      for (std::size_t f = 0; f < truth.size(); ++f) {
        const bool about = std::abs(static_cast<double>(row.t_us - t_us[f])) < 110'000;
        right =
            right || (about && truth[f].x >= 0 &&
                      (row.t_us != t_us[f] || std::hypot(row.x - truth[f].x, row.y - truth[f].y) < within));
      }
      n += !right;
    }
    return n;
  }
};

// Card 0 of six, three a row, is dragged to the last slot and the others move up, all at once, from when it
// is on its way; it is let go after a rest and glides into the slot.
Followed dragged(const Look& look, double rate_hz, double go_s) {
  const double dx = look.card_w * 1.18, dy = look.card_h * 1.25, x0 = look.width / 2.0 - dx, y0 = look.card_h;
  const auto slot = [&](int k) { return Point{x0 + dx * (k % 3), y0 + dy * (k / 3)}; };
  constexpr double lift_s = 1.0, off_s = 1.4, rest_s = 0.5, glide_s = 0.25, room_s = 0.25;
  const double stop_s = off_s + go_s, free_s = stop_s + rest_s, room_at_s = off_s + 0.5 * go_s;
  Followed out;
  Follow follow(1, {});
  for (int f = 0; f / rate_hz < free_s + 1.5; ++f) {
    const double t = f / rate_hz;
    std::vector<Card> cards;
    for (int k = 1; k < 6; ++k) {
      const double u = soft((t - room_at_s) / room_s);
      const Point a = slot(k), b = slot(k - 1);
      cards.push_back({k, {a.x + u * (b.x - a.x), a.y + u * (b.y - a.y)}});
    }
    const double u = soft((t - off_s) / go_s);
    const Point from = slot(0), to{slot(5).x - 6, slot(5).y + 7};
    Point at{from.x + u * (to.x - from.x), from.y + u * (to.y - from.y) + 20 * std::sin(3.14159 * u)};
    const bool held = t >= (look.lifted != 1 ? lift_s : off_s + 0.5 / rate_hz) && t < free_s;
    if (t >= free_s) {
      const double g = 1 - std::pow(1 - std::min(1.0, (t - free_s) / glide_s), 3);
      at = {to.x + g * (slot(5).x - to.x), to.y + g * (slot(5).y - to.y)};
    }
    cards.push_back({0, at, held ? look.lifted : 1});
    out.see(follow, drawn(look, cards), t, held ? at : Point{-1, -1});
  }
  out.path = follow.finish();
  return out;
}

bool tells_drop(const Path& path) {
  return std::any_of(path.endings.begin(), path.endings.end(),
                     [](const Ended& end) { return end.kind == LetGo::Kind::drop; });
}

}  // namespace

TEST_CASE("A white card among white ones is followed from its lift, at ten pictures a second") {
  const Followed out = dragged({300, 320, 80, 80, 244, white_card, 1.06}, 10, 0.9);
  CHECK(out.near(3) > 0.95);
  CHECK(out.wrong(6) == 0);
  CHECK(out.path.endings.size() == 1);
  CHECK_FALSE(tells_drop(out.path));
}

TEST_CASE("A plain plate is followed over others as plain, at twelve pictures a second") {
  const Followed out = dragged({150, 140, 42, 30, 244, plain_plate}, 12, 0.5);
  CHECK(out.near(3) > 0.85);
  CHECK(out.wrong(6) == 0);
  CHECK(out.path.endings.size() == 1);
  CHECK_FALSE(tells_drop(out.path));
}

// Two pages of six cards, the second beyond the first by (dx, dy): they go by all of that or by a part of it.
Followed turned(double rate_hz, double dx, double dy, double turn_s, double part) {
  const Look look{300, 320, 80, 80, 244, white_card, 1};
  Followed out;
  Follow follow(1, {});
  for (int f = 0; f / rate_hz < 4; ++f) {
    const double t = f / rate_hz, u = part * soft((t - 1) / turn_s);
    std::vector<Card> cards;
    for (int page = 0; page < 2; ++page)
      for (int k = 0; k < 6; ++k)
        cards.push_back({page == 0 ? k : 5 - k,
                         {56 + 94.0 * (k % 3) + dx * (page - u), 80 + 100.0 * (k / 3) + dy * (page - u)}});
    out.see(follow, drawn(look, cards), t, {-1, -1});
  }
  out.path = follow.finish();
  return out;
}

TEST_CASE("A page that turns or scrolls at ten pictures a second is no drag") {
  for (const auto& [turn_s, part] : {std::pair{0.35, 1.0}, {0.6, 0.35}, {1.0, 0.5}}) {
    CAPTURE(turn_s, part);
    CHECK(turned(10, 300, 0, turn_s, part).path.rows.empty());
    CHECK(turned(10, 0, 320, turn_s, part).path.rows.empty());
    CHECK(turned(12, 0, -320, turn_s, part).path.rows.empty());
  }
}
