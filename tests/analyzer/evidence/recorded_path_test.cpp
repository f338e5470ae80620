// The path of a recording as text: it reads back to the same values, and nothing but what was written is
// taken.
#include "analyzer/evidence/recorded_path.hpp"

#include <catch2/catch.hpp>
#include <random>

#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

Recording any_path(std::mt19937& random) {
  std::uniform_real_distribution<double> px(0, 1080);
  Recording recording;
  recording.axes.x = Axis{0, 1080, std::nullopt};
  recording.axes.y = Axis{0, 2340, std::nullopt};
  recording.source.sha256 = std::string(64, 'a');
  recording.source.device = "h264";
  recording.source.recording = RecordingFacts{900, 15'000'000, 800, 700, 690, 31.25, 40.0 / 3};
  std::int64_t t_us = 0;
  for (std::uint32_t c = 0; c < 3; ++c) {
    recording.contacts.push_back(
        {static_cast<std::uint32_t>(recording.reports.size()), 50, 0, static_cast<Ending>(c), Tool::finger});
    for (int i = 0; i < 50; ++i)
      recording.reports.push_back(
          {t_us += 16'667, px(random), px(random), c, static_cast<float>(px(random) / 1e4)});
    recording.let_gos.push_back({static_cast<LetGo::Kind>(c), t_us, px(random), px(random), c, 0});
  }
  return recording;
}

}  // namespace

TEST_CASE("a path reads back as it was") {
  std::mt19937 random(20261125);
  for (int i = 0; i < 20; ++i) {
    const Recording was = any_path(random);
    Notes notes, told;
    notes.add("moving_camera", "a note\twith a tab");
    notes.add("moving_camera", "");
    const std::string text = recorded_path(was, notes);
    REQUIRE(is_recorded_path(text));
    const Recording now = read_recorded_path(text, "f", told);
    REQUIRE(now.reports.size() == was.reports.size());
    for (std::size_t k = 0; k < was.reports.size(); ++k) {
      CHECK(now.reports[k].x == was.reports[k].x);
      CHECK(now.reports[k].sd == was.reports[k].sd);
      CHECK(now.reports[k].t_us == was.reports[k].t_us);
    }
    CHECK(now.source.recording->half_height == was.source.recording->half_height);
    CHECK(now.let_gos.size() == was.let_gos.size());
    CHECK(now.contacts[2].ending == was.contacts[2].ending);
    REQUIRE(told.has("moving_camera"));
    CHECK(told.all().front().count == 2);
  }
}

TEST_CASE("no other spelling of a path is taken") {
  std::mt19937 random(7);
  Notes unused;
  const std::string text = recorded_path(any_path(random), unused);
  for (std::size_t i = 17; i < text.size(); i += 3)
    for (const char c : {'0', '-', '\t', '\n', 'x'}) {
      std::string other = text;
      if (other[i] == c) continue;
      other[i] = c;
      try {
        Notes told;
        const Recording read = read_recorded_path(other, "f", told);
        CHECK(recorded_path(read, told) == other);  // another path, in its one spelling
      } catch (const InputError&) {
      }
    }
  for (const std::string& bad :
       {text + "at\t1\t2\t3\t4", text + "at\tnan\t2\t3\t4\n", text.substr(0, text.size() - 1),
        text + "held\tlifted\n", text + "held\tlifted\nheld\tlifted\n", text + "note\t99999999999\ta\tb\n",
        std::string("paneproof path 1\n")}) {
    Notes told;
    CHECK_THROWS_AS(read_recorded_path(bad, "f", told), InputError);
  }
}
