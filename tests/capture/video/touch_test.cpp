// Touches shown by the system, against the truth of made-up recordings.
#include <catch2/catch.hpp>
#include <functional>
#include <optional>
#include <set>

#include "tests/clips/scored.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

Story touched(std::uint64_t seed, Cursor cursor, int fingers, int losses = 0) {
  StoryOptions options;
  options.seed = seed, options.width = 270, options.height = 600, options.seconds = 5, options.drops = 1;
  options.cursor = cursor, options.fingers = fingers, options.losses = losses;
  return tell_story(options);
}

struct Dot {
  double x, y;
};

// 270 x 600, 60 pictures a second: half-clear light dots of 20 px over a grey ground with a disc that is as
// light as they are.
constexpr double disc_x = 135, disc_y = 300, disc_r = 40;

// `letters`: bars of writing in the upper half that come and go all the time from then on.
video::Path dots(int pictures, const std::function<std::vector<Dot>(double t_s)>& at, double letters_s = 1e9,
                 video::Path path = {}) {
  video::Touches touches(1);
  for (int i = 0; i < pictures; ++i) {
    const double t_s = i / 60.0;
    video::Plane plane{270, 600, std::vector<std::uint8_t>(270 * 600)};
    const std::vector<Dot> now = at(t_s);
    for (int y = 0; y < 600; ++y)
      for (int x = 0; x < 270; ++x) {
        double luma = std::hypot(x - disc_x, y - disc_y) < disc_r ? 250 : 90;
        if (t_s > letters_s && y > 40 && y < 140 && y % 26 < 17 && x % 22 < 15 &&
            (i / 4 + x / 22 + y / 26) % 3 > 0)
          luma = 185;
        for (const Dot& dot : now) {
          const double in = std::clamp(10.5 - std::hypot(x + 0.5 - dot.x, y + 0.5 - dot.y), 0.0, 1.0);
          luma += 0.6 * in * (250 - luma);
        }
        plane.row(y)[x] = static_cast<std::uint8_t>(luma + 0.5);
      }
    touches.add(plane, i, std::llround(t_s * 1e6));
  }
  touches.finish(path);
  return path;
}

std::vector<LetGo::Kind> kinds(const video::Path& path) {
  std::vector<LetGo::Kind> all;
  for (const video::Ended& end : path.endings) all.push_back(end.kind);
  return all;
}

}  // namespace

TEST_CASE("a ring that returns is a new contact, and each is where the finger is") {
  const Story story = touched(3, Cursor::ring, 1);
  const video::Path path = followed(story);
  const Scored s = scored(story, path);
  std::set<int> told, true_ones;
  for (const video::Row& row : path.rows) told.insert(row.contact);
  for (const Moment& moment : story.moments)
    for (const Held& held : moment.held) true_ones.insert(held.contact);
  CHECK(told.size() == true_ones.size());
  CHECK(s.median < 0.003);
  CHECK(s.followed > 0.9);
}

TEST_CASE("a cross is where its lines meet") {
  const Story story = touched(4, Cursor::cross, 1);
  const Scored s = scored(story, followed(story));
  CHECK(s.median < 0.003);
}

TEST_CASE("two crosses at once are told apart") {
  const Story story = touched(9, Cursor::cross, 2);
  const Scored s = scored(story, followed(story));
  CHECK(s.median < 0.003);
  CHECK(s.followed > 0.95);
}

TEST_CASE("a dot is followed over whatever lies under it") {
  const Story story = touched(7, Cursor::dot, 1);
  const Scored s = scored(story, followed(story));
  CHECK(s.median < 0.003);
  CHECK(s.followed > 0.95);
}

TEST_CASE("a mark that passes over what is as light as itself is one contact all the way") {
  const video::Path path = dots(120, [](double t_s) {
    return t_s < 0.3 || t_s > 1.6 ? std::vector<Dot>{} : std::vector<Dot>{{40 + 150 * (t_s - 0.3), 300}};
  });
  CHECK(kinds(path) == std::vector{LetGo::Kind::doubt});
  CHECK(path.endings.front().t_us == Approx(1.6e6).margin(40'000));
}

TEST_CASE("a mark that vanishes in flight is in doubt, and lost where it could not be seen") {
  for (const double until_s : {0.9, 0.55}) {
    INFO("until " << until_s << " s, when it is at x = " << 40 + 150 * (until_s - 0.3));
    const video::Path path = dots(150, [&](double t_s) {
      return t_s < 0.3 || t_s > until_s ? std::vector<Dot>{}
                                        : std::vector<Dot>{{40 + 150 * (t_s - 0.3), 300}};
    });
    CHECK(kinds(path) == std::vector{until_s == 0.9 ? LetGo::Kind::lost : LetGo::Kind::doubt});
  }
}

TEST_CASE("a mark that comes back on its way was dropped only where it is back sooner than a hand can") {
  for (const int gone : {1, 2, 4, 8}) {
    INFO("gone for " << gone << " pictures");
    const double from_s = 0.951, to_s = from_s + gone / 60.0;
    const video::Path path = dots(150, [&](double t_s) {
      return t_s < 0.3 || t_s > 1.9 || (t_s > from_s && t_s < to_s)
                 ? std::vector<Dot>{}
                 : std::vector<Dot>{{40 + 110 * (t_s - 0.3), 480}};
    });
    const LetGo::Kind first = gone < 3 ? LetGo::Kind::drop : LetGo::Kind::doubt;
    REQUIRE(kinds(path) == std::vector{first, LetGo::Kind::doubt});
    CHECK(path.endings.front().t_us == Approx(950'000).margin(10));
    for (const video::Row& row : path.rows) {
      const double t_s = static_cast<double>(row.t_us) * 1e-6;
      CHECK((t_s <= from_s || t_s >= to_s));
      CHECK(row.contact == (t_s < to_s ? 1 : 2));
    }
  }
}

TEST_CASE("losses too quick for a hand are told in made-up recordings, and nothing else is") {
  // Those of one picture or two: of three the pictures do not tell how long they took.
  int quick = 0, found = 0, told = 0;
  for (const std::uint64_t seed : {5, 6, 7, 8, 9, 10}) {
    const Cursor cursor = seed % 3 == 0 ? Cursor::dot : seed % 3 == 1 ? Cursor::ring : Cursor::cross;
    const Story story = touched(seed, cursor, 1, 3);
    const video::Path path = followed(story);
    for (const video::Ended& end : path.endings) told += end.kind == LetGo::Kind::drop;
    for (const Event& event : story.events) {
      const bool back = std::any_of(story.moments.begin(), story.moments.end(), [&](const Moment& moment) {
        return moment.t_s > event.t_s && moment.t_s < event.t_s + 3.5 / 60 && !moment.held.empty();
      });
      if (!back) continue;
      ++quick;
      found += std::any_of(path.endings.begin(), path.endings.end(), [&](const video::Ended& end) {
        return end.kind == LetGo::Kind::drop && std::abs(end.t_us - event.t_s * 1e6) < 20'000;
      });
    }
  }
  INFO(found << " of " << quick << " found, " << told << " told");
  REQUIRE(quick >= 5);
  CHECK(2 * found > quick);
  CHECK(told == found);
}

TEST_CASE("a mark that rests does not take over one that comes by") {
  // The second passes 22 px from the first, which lifts as it passes.
  const video::Path path = dots(150, [](double t_s) {
    std::vector<Dot> now;
    if (t_s > 0.3 && t_s < 1.2) now.push_back({60 + 100 * std::min(0.6, t_s - 0.3), 120});
    if (t_s > 0.5 && t_s < 2.0) now.push_back({142, 500 - 550 * (t_s - 0.5)});
    return now;
  });
  REQUIRE(path.endings.size() == 2);
  for (const video::Row& row : path.rows) {
    const double t_s = row.t_us * 1e-6, y = 500 - 550 * (t_s - 0.5);
    CHECK(std::min(std::abs(row.y - 120), std::abs(row.y - std::max(0.0, y))) < 1);
  }
  CHECK(path.endings.front().kind == LetGo::Kind::release);
  CHECK(path.endings.front().t_us == Approx(1.2e6).margin(40'000));
}

TEST_CASE("what leaps aside into another place and lies there is no mark") {
  // Ten round things in a row make room, one after another.
  const video::Path path = dots(240, [](double t_s) {
    std::vector<Dot> now;
    for (int k = 0; k < 8; ++k) {
      const double gone = t_s - 0.4 - 0.3 * k;
      now.push_back({40 + 60 * (gone < 0 ? 0 : 1 - std::exp(-gone / 0.06)), 30.0 + 70 * k});
    }
    return now;
  });
  CHECK(path.rows.empty());
}

TEST_CASE("what sets off three at once and more is no finger's mark") {
  // Six badges, each on a card of its own shade that hides where it lay before, leap aside together twice.
  const video::Path path = dots(300, [](double t_s) {
    std::vector<Dot> now;
    for (int k = 0; k < 6 && t_s > 0.5; ++k) {
      const double first = t_s - 0.5, second = t_s - 2.5,
                   way = 70 * (1 - std::exp(-first / 0.1)) +
                         (second > 0 ? 70 * (1 - std::exp(-second / 0.1)) : 0);
      now.push_back({40 + way, 30.0 + 90 * k});
    }
    return now;
  });
  CHECK(path.rows.empty());
}

TEST_CASE("a mark is found below much that looks a little like one") {
  const auto first = [](double t_s) { return Dot{60 + 80 * (t_s - 0.3), 400 - 120 * (t_s - 0.3)}; };
  const auto second = [](double t_s) { return Dot{50 + 110 * (t_s - 2.2), 540 - 40 * (t_s - 2.2)}; };
  const video::Path path = dots(
      230,
      [&](double t_s) -> std::vector<Dot> {
        if (t_s > 0.3 && t_s < 1.6) return {first(t_s)};
        if (t_s > 2.2 && t_s < 3.5) return {second(t_s)};
        return {};
      },
      2.0);
  int right = 0;
  for (const video::Row& row : path.rows) {
    const double t_s = static_cast<double>(row.t_us) * 1e-6;
    right += t_s > 2.2 && std::hypot(row.x - second(t_s).x, row.y - second(t_s).y) < 2;
  }
  CHECK(right > 70);
}

TEST_CASE("what went to slots twice was dragged, whatever looks like marks elsewhere") {
  const auto marks = [](double t_s) {
    return t_s < 0.3 || t_s > 1.9 ? std::vector<Dot>{} : std::vector<Dot>{{40 + 110 * (t_s - 0.3), 480}};
  };
  for (const std::size_t slots : {1, 2}) {
    INFO(slots << " slots");
    video::Path dragged;  // far from the marks, for less than half as long
    for (int i = 0; i < 40; ++i) dragged.rows.push_back({i * 16'667, 1, 200, 100.0 + i, 0.1});
    dragged.followed_frames = dragged.held_frames = 40;
    dragged.endings.assign(slots, {LetGo::Kind::release, 1, 650'000, 200, 139});
    const video::Path path = dots(150, marks, 1e9, dragged);
    REQUIRE_FALSE(path.rows.empty());
    CHECK((path.rows.front().y > 400) == (slots == 1));
  }
}

TEST_CASE("cross lines that hardly differ from the ground are found where they stand out") {
  video::Touches touches(1);
  video::Path path;
  const auto at = [](double t_s) { return Dot{40.4 + 100 * (t_s - 0.3), 120.4 + 200 * (t_s - 0.3)}; };
  for (int i = 0; i < 120; ++i) {
    const double t_s = i / 60.0;
    video::Plane plane{270, 600, std::vector<std::uint8_t>(270 * 600)};
    for (int y = 0; y < 600; ++y)
      for (int x = 0; x < 270; ++x)
        plane.row(y)[x] = static_cast<std::uint8_t>(90 + 40 * (x / 30 + y / 50) % 97);
    if (t_s > 0.3 && t_s < 1.6) {
      for (int y = 0; y < 600; ++y) plane.row(y)[static_cast<int>(at(t_s).x)] += 3;
      for (int x = 0; x < 270; ++x) plane.row(static_cast<int>(at(t_s).y))[x] += 3;
    }
    touches.add(plane, i, std::llround(t_s * 1e6));
  }
  touches.finish(path);
  CHECK(path.rows.size() > 70);
  for (const video::Row& row : path.rows) {
    const Dot truth = at(static_cast<double>(row.t_us) * 1e-6);
    CHECK(std::abs(row.x - std::floor(truth.x) - 0.5) < 0.6);
    CHECK(std::abs(row.y - std::floor(truth.y) - 0.5) < 0.6);
  }
}
