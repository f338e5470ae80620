// How a thing was let go, from made-up ways of it: 60 pictures a second, 270 px wide.
#include "capture/video/let_go.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace paneproof;
using namespace paneproof::video;

namespace {

constexpr double width = 270;

// Starts and ends softly (the least jerk).
double soft(double u) { return u <= 0 ? 0 : u >= 1 ? 1 : u * u * u * (u * (6 * u - 15) + 10); }

// A hand goes 300 px/s to x = 200, rests there for `rest_s` and lets go; the thing glides back to x = 50 in a
// quarter of a second and shrinks to `slot_scale`, where it rests. `last`: the sample of the let-go.
struct Made {
  Track track;
  std::size_t last = 0;
};

Made made(double rest_s, double slot_scale) {
  Made m;
  const double arrive_s = 0.5, go_s = arrive_s + rest_s;
  for (int i = 0; i * 16'667 < (go_s + 0.8) * 1e6; ++i) {
    Sample s;
    s.frame = i, s.t_us = i * 16'667, s.known = true, s.sd = 0.1;
    const double t = static_cast<double>(s.t_us) * 1e-6, gone = soft((t - go_s) / 0.25);
    s.pose.x = 200 - 300 * std::max(0.0, arrive_s - t) - 150 * gone;
    s.pose.y = 80 + 0.1 * std::sin(40 * t);
    s.pose.scale = 1.1 - (1.1 - slot_scale) * gone;
    if (t <= go_s) m.last = static_cast<std::size_t>(i);
    m.track.samples.push_back(s);
  }
  return m;
}

}  // namespace

TEST_CASE("what is let go after a rest and glides off softly was released, not dropped") {
  Made m = made(0.45, 1.0);
  m.track.rest_scale = 1;
  const auto judged = judge_let_go(m.track, width);
  REQUIRE(judged);
  CHECK(judged->kind == LetGo::Kind::release);
  CHECK(std::abs(static_cast<double>(judged->last) - static_cast<double>(m.last)) <= 3);
}

TEST_CASE("a drop whose glide begins softly is told within 50 ms") {
  Made m = made(0, 1.0);
  m.track.rest_scale = 1;
  const auto judged = judge_let_go(m.track, width);
  REQUIRE(judged);
  CHECK(judged->kind == LetGo::Kind::drop);
  CHECK(std::abs(static_cast<double>(judged->last) - static_cast<double>(m.last)) <= 3);
}

TEST_CASE("a place or size told roughly while it glides does not move the let-go") {
  for (const double rest_s : {0.0, 0.45}) {  // as in a recording of a low rate
    INFO("rested " << rest_s);
    Made m = made(rest_s, 1.0);
    m.track.rest_scale = 1;
    for (std::size_t i = m.last + 5; i < m.last + 14; ++i) {
      Pose& p = m.track.samples[i].pose;
      const double fast = std::sin(3.1416 * static_cast<double>(i - m.last) / 15);
      p.y += fast * (i % 2 ? 1.9 : -1.3), p.scale += fast * (i % 3 ? 0.015 : -0.03);
    }
    const auto judged = judge_let_go(m.track, width);
    REQUIRE(judged);
    CHECK(judged->kind == (rest_s == 0 ? LetGo::Kind::drop : LetGo::Kind::release));
    CHECK(std::abs(static_cast<double>(judged->last) - static_cast<double>(m.last)) <= 3);
  }
}

TEST_CASE("a size that fades late does not make a drop of a release") {
  Made m = made(0.45, 1.0);
  m.track.rest_scale = 1;
  for (std::size_t i = m.track.samples.size(); i-- > m.last + 9;)
    m.track.samples[i].pose.scale = m.track.samples[i - 8].pose.scale;
  for (std::size_t i = m.last + 1; i < m.last + 9; ++i) m.track.samples[i].pose.scale = 1.1;
  const auto judged = judge_let_go(m.track, width);
  REQUIRE(judged);
  CHECK(judged->kind == LetGo::Kind::release);
}

TEST_CASE("what fits its look ill may be another thing") {
  Made m = made(0, 1.0);
  for (Sample& s : m.track.samples) s.misfit = 3;
  CHECK_FALSE(fits_ill(m.track.samples, m.last, 20));
  CHECK(fits_ill(m.track.samples, m.last, 5));
  for (std::size_t i = 0; i + 30 < m.last; ++i) m.track.samples[i].misfit = 30;  // long before
  CHECK_FALSE(fits_ill(m.track.samples, m.last, 20));
}

TEST_CASE("what lay, glided and lies until the end was released, though its size tells nothing") {
  Made m = made(0.45, 1.1);  // as large in its slot as in the hand
  const auto last = released_before_end(m.track);
  REQUIRE(last);
  CHECK(std::abs(static_cast<double>(*last) - static_cast<double>(m.last)) <= 3);
  CHECK_FALSE(released_before_end(made(0, 1.1).track));  // it did not lie before
  m.track.samples.resize(m.last);                        // at rest under the hand
  CHECK_FALSE(released_before_end(m.track));
}

TEST_CASE("a glide at its old size that begins softly was a drop where the hand stopped short") {
  Track track;
  std::size_t last = 0;
  for (int i = 0; i < 80; ++i) {  // up to 600 px/s, then a quarter of a second to the slot
    Sample s;
    s.frame = i, s.t_us = i * 16'667, s.known = true, s.sd = 0.1;
    const double t = static_cast<double>(s.t_us) * 1e-6;
    s.pose.x = 130, s.pose.y = t <= 0.5 ? 400 - 600 * t * t : 250 + 100 * soft((t - 0.5) / 0.25);
    if (t <= 0.5) last = static_cast<std::size_t>(i);
    track.samples.push_back(s);
  }
  const auto judged = judge_let_go(track, width);
  REQUIRE(judged);
  CHECK(judged->kind == LetGo::Kind::drop);
  CHECK(std::abs(static_cast<double>(judged->last) - static_cast<double>(last)) <= 2);
}

TEST_CASE("a let-go after a short rest is in doubt") {
  Made m = made(0.13, 1.0);
  m.track.rest_scale = 1;
  const auto judged = judge_let_go(m.track, width);
  REQUIRE(judged);
  CHECK(judged->kind == LetGo::Kind::doubt);
}

TEST_CASE("a lift that was seen late does not hide the let-go") {
  for (const double late : {1.06, 1.095}) {  // its size before the lift, as it was taken to be
    INFO("taken for " << late);
    Made m = made(0, 1.0);
    m.track.rest_scale = late;
    const auto judged = judge_let_go(m.track, width);
    REQUIRE(judged);
    CHECK(judged->kind == LetGo::Kind::drop);
    CHECK(judged->rest_scale == Approx(1).margin(0.005));
  }
}

TEST_CASE("a contact that ends as its hand comes to rest is in doubt") {
  for (const double stop_s : {0.6, 0.9}) {  // when it would have come to rest; it ends at 0.58 s
    INFO("at rest at " << stop_s);
    std::vector<Sample> way;
    for (int i = 0; i * 16'667 < 580'000; ++i) {
      Sample s;
      s.frame = i, s.t_us = i * 16'667, s.known = true;
      s.pose.x = 30 + 600 * soft(static_cast<double>(s.t_us) * 1e-6 / stop_s);
      way.push_back(s);
    }
    CHECK(kind_of_end(way, width) == (stop_s == 0.6 ? LetGo::Kind::doubt : LetGo::Kind::drop));
  }
}

TEST_CASE("a drop is told in time where the recorder stalls while the thing glides") {
  Made m = made(0, 1.0);
  m.track.rest_scale = 1;
  const Pose stalled = m.track.samples[m.last + 4].pose;
  for (std::size_t i = m.last + 5; i < m.last + 7; ++i) m.track.samples[i].pose = stalled;
  const auto judged = judge_let_go(m.track, width);
  REQUIRE(judged);
  CHECK(judged->kind == LetGo::Kind::drop);
  CHECK(std::abs(static_cast<double>(judged->last) - static_cast<double>(m.last)) <= 3);
}

TEST_CASE("a thing at rest that is as large as while it was held has not been let go") {
  Made m = made(0.8, 1.0);
  m.track.rest_scale = 1;
  CHECK_FALSE(still_lifted(m.track));
  m.track.samples.resize(m.last);
  CHECK(still_lifted(m.track));
  CHECK_FALSE(judge_let_go(m.track, width));
  m.track.rest_scale = 0;  // not known: nothing can be said
  CHECK_FALSE(still_lifted(m.track));
}

TEST_CASE("a stall of the recorder while the hand still goes on is not the drop after it") {
  Made m = made(0, 1.0);
  m.track.rest_scale = 1;
  for (std::size_t i = m.last - 3; i < m.last - 1; ++i)
    m.track.samples[i].pose = m.track.samples[m.last - 4].pose;
  const auto judged = judge_let_go(m.track, width);
  REQUIRE(judged);
  CHECK(judged->kind == LetGo::Kind::drop);
  CHECK(std::abs(static_cast<double>(judged->last) - static_cast<double>(m.last)) <= 3);
}

TEST_CASE(
    "what is held sooner than a hand can after another was let go was taken for it, and no drop is told") {
  Path path;
  const std::int64_t begins_us[] = {0, 1'016'667, 2'400'000, 3'550'000};
  for (int contact = 0; contact < 4; ++contact)
    for (std::int64_t t_us = begins_us[contact]; t_us <= begins_us[contact] + 1'000'000; t_us += 16'667)
      path.rows.push_back({t_us, contact + 1, 50, 60, 0.1});
  path.endings = {{LetGo::Kind::drop, 1, 1'000'000, 50, 60},
                  {LetGo::Kind::drop, 2, 2'016'667, 50, 60},
                  {LetGo::Kind::drop, 3, 3'400'000, 50, 60},
                  {LetGo::Kind::end, 4, 4'550'000, 50, 60}};
  doubt_hasty_endings(path);
  CHECK(path.endings[0].kind == LetGo::Kind::lost);
  CHECK(path.endings[1].kind == LetGo::Kind::drop);
  CHECK(path.endings[2].kind == LetGo::Kind::doubt);
  CHECK(path.endings[3].kind == LetGo::Kind::end);
}

TEST_CASE("what was held for a moment only may have made room, and its drop is in doubt") {
  const std::int64_t held_us = GENERATE(500'000, 700'000);
  Path path;
  for (std::int64_t t_us = 0; t_us <= held_us; t_us += 10'000) path.rows.push_back({t_us, 1, 50, 60, 0.1});
  path.endings = {{LetGo::Kind::drop, 1, held_us, 50, 60}};
  doubt_hasty_endings(path);
  CHECK(path.endings[0].kind == (held_us < 600'000 ? LetGo::Kind::doubt : LetGo::Kind::drop));
}

TEST_CASE("an icon that lay for a while after a drop was not taken up at once, and leaves it a drop") {
  const std::int64_t lay_us = GENERATE(100'000, 700'000);
  Path path;
  for (std::int64_t t_us = 0; t_us <= 700'000; t_us += 10'000) path.rows.push_back({t_us, 1, 50, 60, 0.1});
  for (std::int64_t t_us = 720'000; t_us <= 2'000'000; t_us += 10'000)
    path.rows.push_back({t_us, 2, 150 + (t_us > 720'000 + lay_us ? 9.0 : 0.0), 60, 0.1});
  path.endings = {{LetGo::Kind::drop, 1, 700'000, 50, 60}, {LetGo::Kind::end, 2, 2'000'000, 159, 60}};
  doubt_hasty_endings(path);
  CHECK(path.endings[0].kind == (lay_us < 250'000 ? LetGo::Kind::lost : LetGo::Kind::drop));
}

TEST_CASE(
    "what is in its slot from one picture to the next was let go, and what a hand leads there was not") {
  const int pictures = GENERATE(1, 4);  // in which it goes there
  Track track;
  for (int i = 0; i < 60; ++i) {  // 24 a second
    Sample s;
    s.frame = i, s.t_us = i * 41'667, s.known = true, s.sd = 0.1;
    s.pose.x = i < 20 ? 40 + 6 * i : 160, s.pose.y = 80;
    if (i > 30) s.pose.x -= 20.0 * std::min(1.0, (i - 30.0) / pictures);
    track.samples.push_back(s);
  }
  const auto judged = judge_let_go(track, width);
  CHECK(judged.has_value() == (pictures == 1));
  if (judged) CHECK((judged->last == 30 && judged->kind == LetGo::Kind::release));
}

TEST_CASE("a drop is told though the hand was on the way to the slot already") {
  for (const double hand_s : {0.3, 1.0}) {
    INFO("on that way for " << hand_s << " s");
    Track track;
    for (int i = 0; i < 60; ++i) {  // 30 a second
      Sample s;
      s.frame = i, s.t_us = i * 33'333, s.known = true, s.sd = 0.1;
      const double t = static_cast<double>(s.t_us) * 1e-6, before = std::min(t, 1.0),
                   u = std::clamp((t - 1) / 0.3, 0.0, 1.0), way = 100 * std::max(0.0, before - 1 + hand_s);
      s.pose.x = 150 + (before < 1 - hand_s ? 80 * (1 - hand_s - before) : 0);
      s.pose.y = 300 - way - 70 * (1 - std::pow(1 - u, 3));
      track.samples.push_back(s);
    }
    const auto judged = judge_let_go(track, width);
    REQUIRE(judged);
    CHECK(judged->kind == LetGo::Kind::drop);
    CHECK(std::abs(static_cast<double>(judged->last) - 30) <= 1);
  }
}

TEST_CASE("what sets off from where it lay and comes to rest elsewhere was led there, not let go") {
  const double wanders = GENERATE(0.0, 60.0);  // px, before it goes
  Track track;
  track.half_width = track.half_height = 24;
  for (int i = 0; i < 120; ++i) {
    Sample s;
    s.frame = i, s.t_us = i * 16'667, s.known = true, s.sd = 0.1;
    const double t = static_cast<double>(s.t_us) * 1e-6, u = std::clamp((t - 0.8) / 0.35, 0.0, 1.0);
    s.pose.x = 60 + wanders * std::min(1.0, t / 0.8), s.pose.y = 80 + 180 * (1 - std::pow(1 - u, 3));
    track.samples.push_back(s);
  }
  CHECK(judge_let_go(track, width).has_value() == (wanders > 0));
}

TEST_CASE("a hand that turns, goes on evenly and stops short lets nothing go") {
  for (const bool glides : {false, true}) {
    INFO("glides " << glides);
    Track track;
    for (int i = 0; i < 90; ++i) {
      Sample s;
      s.frame = i, s.t_us = i * 16'667, s.known = true, s.sd = 0.1;
      const double t = static_cast<double>(s.t_us) * 1e-6, u = std::clamp((t - 0.5) / 0.35, 0.0, 1.0);
      s.pose.x = 60 + 200 * std::min(t, 0.5), s.pose.y = 80 + 180 * (glides ? 1 - std::pow(1 - u, 3) : u);
      track.samples.push_back(s);
    }
    track.rest_scale = 1;
    const auto judged = judge_let_go(track, width);
    CHECK(judged.has_value() == glides);
    if (judged) CHECK(judged->kind == LetGo::Kind::drop);
  }
}

TEST_CASE("a hand that sets off again the way the glide goes is not the glide") {
  for (const bool leaps : {false, true}) {  // or the thing glides so by itself from its rest on
    INFO("leaps " << leaps);
    Track track;
    std::size_t rested = 0, led = 0;
    for (int i = 0; i < 90; ++i) {
      Sample s;
      s.frame = i, s.t_us = i * 16'667, s.known = true, s.sd = 0.1;
      const double t = static_cast<double>(s.t_us) * 1e-6, arrive_s = 0.4, go_s = 0.7, lets_go_s = 0.9;
      const double gone = std::max(0.0, t - go_s), glide = std::clamp((t - lets_go_s) / 0.3, 0.0, 1.0);
      s.pose.x = 60 + 300 * std::min(t, arrive_s);
      s.pose.y =
          leaps ? 80 + 900 * std::pow(std::min(gone, lets_go_s - go_s), 2) + 90 * (1 - std::pow(1 - glide, 3))
                : 80 + 126 * soft(gone / 0.3);
      const double shrinks = leaps ? glide : soft(gone / 0.3);
      s.pose.scale = 1.1 - 0.1 * shrinks;
      if (t <= go_s) rested = static_cast<std::size_t>(i);
      if (t <= lets_go_s) led = static_cast<std::size_t>(i);
      track.samples.push_back(s);
    }
    track.rest_scale = 1;
    const auto judged = judge_let_go(track, width);
    REQUIRE(judged);
    CHECK(judged->kind == (leaps ? LetGo::Kind::drop : LetGo::Kind::release));
    CHECK(std::abs(static_cast<double>(judged->last) - static_cast<double>(leaps ? led : rested)) <= 3);
  }
}

TEST_CASE("what was held for a moment and seen to be lifted made no room: it was dropped") {
  Made m = made(0, 1.0);
  m.track.rest_scale = 1;
  const auto judged = judge_let_go(m.track, width);
  REQUIRE(judged);
  CHECK(judged->lifted);
  m.track.rest_scale = 1.07;  // before it was larger than it is after: another thing, or seen ill
  const auto other = judge_let_go(m.track, width);
  REQUIRE(other);
  CHECK_FALSE(other->lifted);
  for (const bool lifted : {false, true}) {
    Path path;
    for (std::int64_t t_us = 0; t_us <= 400'000; t_us += 10'000) path.rows.push_back({t_us, 1, 50, 60, 0.1});
    path.endings = {{LetGo::Kind::drop, 1, 400'000, 50, 60, lifted}};
    doubt_hasty_endings(path);
    CHECK(path.endings[0].kind == (lifted ? LetGo::Kind::drop : LetGo::Kind::doubt));
  }
}
