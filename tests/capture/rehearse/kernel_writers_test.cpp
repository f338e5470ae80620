// A recording written as kernel events reads back as itself.
#include "capture/rehearse/kernel_writers.hpp"

#include <linux/input.h>

#include <catch2/catch.hpp>
#include <set>

#include "capture/log/formats.hpp"
#include "capture/rehearse/rehearsal.hpp"

using namespace paneproof;

namespace {

Recording read_back(const std::string& log, const Rehearsed& r) {
  const auto source = memory_source("rehearsal", log);
  Notes notes;
  ReadOptions options;
  options.axes = r.recording.axes;
  Recording out = read_log(*source, options, notes);
  for (const Note& note : notes.all()) UNSCOPED_INFO("note " << note.id << ": " << note.text);
  return out;
}

void check_same(const Recording& a, const Recording& b) {
  REQUIRE(a.contacts.size() == b.contacts.size());
  REQUIRE(a.reports.size() == b.reports.size());
  for (std::size_t k = 0; k < a.reports.size(); ++k) {
    const Report &x = a.reports[k], &y = b.reports[k];
    if (x.t_us != y.t_us || x.x != y.x || x.y != y.y || x.contact != y.contact)
      FAIL("report " << k << " differs");
  }
  for (std::size_t k = 0; k < a.contacts.size(); ++k) {
    if (a.contacts[k].ending != b.contacts[k].ending || a.contacts[k].tool != b.contacts[k].tool)
      FAIL("contact " << k << " ends otherwise or is another tool");
  }
}

Recording one_frame_two_contacts() {
  RecordingBuilder builder;
  const auto a = builder.land(), b = builder.land();
  builder.report(a, 0, 100, 200);
  builder.report(b, 0, 300, 400);
  builder.report(a, 8000, 101, 200);
  builder.end(a, Ending::lifted);
  builder.end(b, Ending::lifted);
  Axes axes;
  axes.x = Axis{0, 1000, {}};
  axes.y = Axis{0, 2000, {}};
  return std::move(builder).finish(axes, {});
}

}  // namespace

TEST_CASE("every kernel format gives back the recording") {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const Rehearsed r = rehearse(random_spec(seed, seed % 3 ? Mix::mixed : Mix::good_complete));
    for (const char* format : {"getevent", "getevent_numbers", "getevent_packets", "evtest", "evemu",
                               "libinput_record", "input_event", "input_event_32"}) {
      INFO("seed " << seed << ", " << format);
      check_same(read_back(write_rehearsal(r, format), r), r.recording);
    }
  }
}

TEST_CASE("formats in mm give back the scaled recording") {
  for (std::uint64_t seed = 21; seed <= 26; ++seed) {
    const Rehearsed r = rehearse(random_spec(seed, Mix::mixed));
    PanelRequest request;
    request.width_mm = r.spec.width_mm;
    request.height_mm = r.spec.height_mm;
    Notes notes;
    Recording copy = r.recording;
    const Trace wanted = scale(std::move(copy), request, notes);
    for (const char* format : {"csv", "jsonl", "inkml"}) {
      INFO("seed " << seed << ", " << format);
      const auto log = write_rehearsal(r, format);
      const auto source = memory_source("rehearsal", log);
      const Trace got = scale(read_log(*source, {}, notes), request, notes);
      REQUIRE(got.contacts.size() == wanted.contacts.size());
      REQUIRE(got.reports.size() == wanted.reports.size());
      for (std::size_t k = 0; k < got.reports.size(); ++k) {
        const Report &x = got.reports[k], &y = wanted.reports[k];
        if (x.t_us != y.t_us || x.x != y.x || x.y != y.y || x.contact != y.contact)
          FAIL("report " << k << " differs");
      }
    }
  }
}

TEST_CASE("the description tells axes and resolution") {
  RehearsalSpec spec;
  Random random(2);
  Personality p = draw_personality(FirmwareFamily::plain, random);
  p.units_per_mm = 12;
  p.tells_resolution = true;
  spec.firmware = p;
  const Rehearsed r = rehearse(spec);
  for (const char* format : {"getevent", "getevent_numbers", "evtest", "evemu", "libinput_record"}) {
    INFO(format);
    const auto log = write_rehearsal(r, format);
    const auto source = memory_source("rehearsal", log);
    Notes notes;
    const Recording read = read_log(*source, {}, notes);
    REQUIRE(read.axes.x);
    REQUIRE(read.axes.y);
    CHECK(read.axes.x->max == 68 * 12);
    CHECK(read.axes.y->max == 142 * 12);
    CHECK(read.axes.x->units_per_mm == 12);
    CHECK(read.source.device == "rehearsal panel");
  }
}

// Documentation/input/multi-touch-protocol.rst, "Protocol Example B": slot, tracking id, position of each
// contact, SYN_REPORT; then only what changed; -1 frees the slot.
TEST_CASE("protocol B is sent as the kernel's document shows") {
  const auto events = kernel_events(one_frame_two_contacts(), {16000, 24000}, MtProtocol::slots);
  struct Wanted {
    std::int64_t t_us;
    int type, code, value;
  };
  const Wanted wanted[] = {{0, EV_ABS, ABS_MT_TRACKING_ID, 0},
                           {0, EV_ABS, ABS_MT_TOOL_TYPE, 0},
                           {0, EV_ABS, ABS_MT_POSITION_X, 100},
                           {0, EV_ABS, ABS_MT_POSITION_Y, 200},
                           {0, EV_ABS, ABS_MT_SLOT, 1},
                           {0, EV_ABS, ABS_MT_TRACKING_ID, 1},
                           {0, EV_ABS, ABS_MT_TOOL_TYPE, 0},
                           {0, EV_ABS, ABS_MT_POSITION_X, 300},
                           {0, EV_ABS, ABS_MT_POSITION_Y, 400},
                           {0, EV_KEY, BTN_TOUCH, 1},
                           {0, EV_SYN, SYN_REPORT, 0},
                           {8000, EV_ABS, ABS_MT_SLOT, 0},
                           {8000, EV_ABS, ABS_MT_POSITION_X, 101},
                           {8000, EV_SYN, SYN_REPORT, 0},
                           {16000, EV_ABS, ABS_MT_TRACKING_ID, -1},
                           {16000, EV_SYN, SYN_REPORT, 0},
                           {24000, EV_ABS, ABS_MT_SLOT, 1},
                           {24000, EV_ABS, ABS_MT_TRACKING_ID, -1},
                           {24000, EV_KEY, BTN_TOUCH, 0},
                           {24000, EV_SYN, SYN_REPORT, 0}};
  REQUIRE(events.size() == std::size(wanted));
  for (std::size_t k = 0; k < events.size(); ++k) {
    INFO("event " << k);
    CHECK(events[k].t_us == wanted[k].t_us);
    CHECK(events[k].type == wanted[k].type);
    CHECK(events[k].code == wanted[k].code);
    CHECK(events[k].value == wanted[k].value);
  }
}

// The same document, "Protocol Example A": every contact in each frame, each ended by SYN_MT_REPORT; a
// lone SYN_MT_REPORT when the last contact has left.
TEST_CASE("protocol A sends every contact in each frame") {
  const auto events = kernel_events(one_frame_two_contacts(), {16000, 24000}, MtProtocol::bare_packets);
  int packets[4] = {}, positions[4] = {};
  for (const KernelEvent& e : events) {
    packets[e.t_us / 8000] += e.type == EV_SYN && e.code == SYN_MT_REPORT;
    positions[e.t_us / 8000] += e.type == EV_ABS && e.code == ABS_MT_POSITION_X;
    CHECK(!(e.type == EV_ABS && (e.code == ABS_MT_SLOT || e.code == ABS_MT_TRACKING_ID)));
  }
  CHECK(std::vector<int>(positions, positions + 4) == std::vector<int>{2, 2, 1, 0});
  CHECK(std::vector<int>(packets, packets + 4) == std::vector<int>{2, 2, 1, 1});
}
