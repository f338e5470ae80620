// What moved between two made-up pictures.
#include "capture/video/seek.hpp"

#include <catch2/catch.hpp>

using namespace paneproof::video;

namespace {

struct Tile {
  int x, y, dx, dy;
  unsigned look;  // its drawing
};

// Tiles of 24 px with a drawing of their own on plain ground: as they stand, or as they have moved.
Plane picture(const std::vector<Tile>& tiles, bool moved) {
  Plane plane{130, 240, std::vector<std::uint8_t>(130 * 240, 90)};
  for (const Tile& tile : tiles)
    for (int y = 0; y < 24; ++y)
      for (int x = 0; x < 24; ++x) {
        unsigned hash = tile.look * 2654435761u + static_cast<unsigned>((y / 4) * 6 + x / 4) * 40503u;
        hash ^= hash >> 13, hash *= 0x5bd1e995u, hash ^= hash >> 15;
        plane.row(tile.y + y + (moved ? tile.dy : 0))[tile.x + x + (moved ? tile.dx : 0)] =
            static_cast<std::uint8_t>(60 + hash % 180);
      }
  return plane;
}

std::vector<Mover> movers(const std::vector<Tile>& tiles) {
  return seek(picture(tiles, false), picture(tiles, true), 1, 9, false);
}

}  // namespace

TEST_CASE("what moves on its own is found beside something that moves much alike far off") {
  // The second goes the same way as the first to within a px, but lies elsewhere.
  const auto found = movers({{20, 30, 5, 3, 1}, {90, 180, 4, 3, 2}});
  REQUIRE(found.size() == 2);
  for (const Mover& mover : found) {
    CHECK_FALSE(mover.with_page);
    CHECK(mover.box.width <= 40);
    CHECK(mover.box.height <= 40);
  }
}

TEST_CASE("each of many things that move alike over the picture is a page's") {
  std::vector<Tile> page;
  for (int j = 0; j < 5; ++j)
    for (int i = 0; i < 3; ++i)
      page.push_back({6 + 36 * i, 8 + 42 * j, 6, 0, static_cast<unsigned>(3 + 3 * j + i)});
  const auto found = movers(page);
  CHECK_FALSE(found.empty());
  for (const Mover& mover : found) CHECK(mover.with_page);
}

TEST_CASE("what is dragged against a page that turns is not the page's") {
  std::vector<Tile> page{{100, 100, -3, 5, 40}};
  for (int j = 0; j < 5; ++j)
    for (int i = 0; i < 2; ++i)
      page.push_back({4 + 40 * i, 8 + 42 * j, 6, 0, static_cast<unsigned>(3 + 3 * j + i)});
  int own = 0;
  for (const Mover& mover : movers(page)) own += !mover.with_page && mover.dx < 0;
  CHECK(own == 1);
}

TEST_CASE("a row of a list that goes down by itself is not a page's") {
  std::vector<Tile> row;
  for (int i = 0; i < 4; ++i) row.push_back({4 + 30 * i, 100, 0, 5, static_cast<unsigned>(60 + i)});
  const auto found = movers(row);
  REQUIRE_FALSE(found.empty());
  CHECK_FALSE(found.front().with_page);
  for (Tile& tile : row) tile.dx = 5, tile.dy = 0;  // sideways it may be a page of one row
  for (const Mover& mover : movers(row)) CHECK(mover.with_page);
}

TEST_CASE("a card is told from others that go along with it, a small thing is not") {
  std::vector<Tile> tiles;  // side by side over the whole picture, and all go the same way
  for (int j = 0; j < 8; ++j)
    for (int i = 0; i < 5; ++i)
      tiles.push_back({2 + 24 * i, 10 + 24 * j, 3, 4, static_cast<unsigned>(5 * j + i)});
  const Plane earlier = picture(tiles, false), later = picture(tiles, true);
  Mover card, icon;
  card.box = {26, 58, 48, 72}, icon.box = {26, 58, 24, 24};
  card.dx = icon.dx = 3, card.dy = icon.dy = 4;
  const Box box = whole_of(card, earlier, later);
  CHECK(box.x == 29);
  CHECK(box.y == 62);
  CHECK(box.width == 48);
  CHECK(box.height == 72);
  CHECK(whole_of(icon, earlier, later).width == 0);
}
