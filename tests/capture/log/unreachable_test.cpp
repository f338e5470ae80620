// What a live page says besides its points: strips it cannot reach, and interruptions.
#include <catch2/catch.hpp>

#include "capture/bytes/source.hpp"
#include "capture/log/pointer_jsonl.hpp"
#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

const std::string down =
    R"({"type":"pointerdown","pointerId":1,"pointerType":"touch","timeStamp":5,"clientX":50,"clientY":60})"
    "\n";

Recording read(const std::string& text, Notes& notes) {
  const auto source = memory_source("log", text);
  return pointer_jsonl_format().read(*source, {}, notes);
}

}  // namespace

TEST_CASE("a strip that the page cannot reach is masked where it lies on the panel") {
  Notes notes;
  const std::string text = R"({"screen":{"width":100,"height":200,"top":20,"unreachable_top":20}})"
                           "\n" +
                           down;
  PanelRequest panel;
  panel.width_mm = 50;
  panel.height_mm = 100;
  const Trace trace = scale(read(text, notes), panel, notes);
  REQUIRE(trace.panel.mask.size() == 1);
  CHECK(trace.panel.mask[0].height_mm == Approx(10));
  CHECK_FALSE(trace.panel.judged(25, 9.9));
  CHECK(trace.panel.judged(25, 10.1));
  CHECK(trace.reports[0].y == Approx(40));
}

TEST_CASE("of several sweeps only what none could reach stays masked") {
  PanelRequest panel;
  panel.width_mm = 50;
  panel.height_mm = 100;
  panel.mask.push_back({MaskShape::Kind::circle, 25, 5, 4, 4, "camera"});
  const auto sweep = [&](const std::string& strips) {
    Notes notes;
    return scale(read(R"({"screen":{"width":100,"height":200)" + strips + "}}\n" + down, notes), panel,
                 notes);
  };
  const auto merged = [&](const std::string& first, const std::string& second) {
    std::vector<Trace> sweeps;
    sweeps.push_back(sweep(first));
    sweeps.push_back(sweep(second));
    return merge(std::move(sweeps)).panel;
  };
  const std::string top = R"(,"top":20,"unreachable_top":20)", less = R"(,"top":8,"unreachable_top":8)",
                    bottom = R"(,"unreachable_bottom":30)";
  for (const auto& [first, second] : {std::pair{top, less}, {less, top}}) {
    const Panel both = merged(first, second);
    CHECK_FALSE(both.judged(40, 3.9));
    CHECK(both.judged(40, 4.1));
    CHECK_FALSE(both.judged(25, 5));  // the camera stays
  }
  const Panel apart = merged(top, bottom);
  CHECK(apart.judged(40, 1));
  CHECK(apart.judged(40, 99));
  CHECK(merged(top, "").judged(40, 1));
}

TEST_CASE("px per mm from a card gives the panel its size") {
  Notes notes;
  const std::string text = R"({"screen":{"width":408,"height":852,"px_per_mm":6}})"
                           "\n" +
                           down;
  const Trace trace = scale(read(text, notes), {}, notes);
  CHECK(trace.panel.width_mm == Approx(68));
  CHECK(trace.panel.height_mm == Approx(142));
}

TEST_CASE("an interruption ends what is down as taken back") {
  Notes notes;
  const std::string text = R"({"screen":{"width":100,"height":200}})"
                           "\n" +
                           down +
                           R"({"type":"interruption","kind":"hidden","timeStamp":9})"
                           "\n";
  const Recording recording = read(text, notes);
  CHECK(recording.contacts.at(0).ending == Ending::cancelled);
  CHECK(notes.has("interrupted_hidden"));
}

TEST_CASE("a later screen of another size is a fault") {
  Notes notes;
  const std::string text = R"({"screen":{"width":100,"height":200}})"
                           "\n" +
                           down +
                           R"({"screen":{"width":200,"height":100}})"
                           "\n" +
                           down;
  CHECK_THROWS_AS(read(text, notes), InputError);
}
