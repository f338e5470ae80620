// Touches shown by the system, against the truth of made-up recordings.
#include <catch2/catch.hpp>
#include <set>

#include "tests/clips/scored.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

Story touched(std::uint64_t seed, Cursor cursor, int fingers) {
  StoryOptions options;
  options.seed = seed, options.width = 270, options.height = 600, options.seconds = 5, options.drops = 1;
  options.cursor = cursor, options.fingers = fingers;
  return tell_story(options);
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
