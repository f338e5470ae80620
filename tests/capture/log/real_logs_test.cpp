// Real recordings (tests/data/logs, see NOTICE.md there). Event counts: `grep -c '^E:'` (evemu) and
// `grep -c '^\['` (getevent). Contacts: tracking ids >= 0 sent (`grep -cE '0003 0039 [0-9]'`), for packets
// with ids the frames that end in a lone SYN_MT_REPORT. Reports: an independent replay of slots or packets
// in a Python script, counting positions that differ from the contact's last.
#include <algorithm>
#include <catch2/catch.hpp>

#include "capture/log/formats.hpp"
#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

std::string path_of(const std::string& name) {
  return std::string(PANEPROOF_SOURCE_DIR) + "/tests/data/logs/" + name;
}

Recording read(const std::string& name, Notes& notes, const ReadOptions& options = {}) {
  return read_log(*open_source(path_of(name)), options, notes);
}

struct Expected {
  const char* file;
  const char* format;
  std::int64_t events;
  std::size_t contacts, reports;
  std::int64_t duration_us;
  double x_max;  // 0: the log has no axes
};

const Expected kExpected[] = {
    {"3m.event.gz", "evemu", 43466, 34, 10804, 29098999, 32767},
    {"evemu_dell_canvas_touch.evemu.gz", "evemu", 5363, 12, 1320, 13865195, 32767},
    {"evemu_atmel_maxtouch_1finger_drag_up_down.events", "evemu", 502, 1, 149, 2199869, 799},
    {"evemu_ep0430m09_1finger_drag_up_down.events", "evemu", 735, 1, 182, 1433974, 1279},
    {"evemu_quanta_optical.events", "evemu", 2832, 9, 729, 13888014, 0},
    {"getevent_lt_galaxys_two_finger_drag.txt", "getevent", 1303, 2, 100, 1100816, 0},
    {"getevent_lt_tf201_game_long.txt.gz", "getevent", 11020, 22, 1568, 76186769, 0},
};

}  // namespace

TEST_CASE("real recordings have the events, contacts and reports that were counted independently") {
  for (const Expected& expected : kExpected) {
    CAPTURE(expected.file);
    Notes notes;
    const Recording recording = read(expected.file, notes);
    CHECK(recording.source.format == expected.format);
    CHECK(recording.source.events == expected.events);
    CHECK(recording.contacts.size() == expected.contacts);
    CHECK(recording.reports.size() == expected.reports);
    CHECK(recording.source.duration_us == expected.duration_us);
    CHECK((recording.axes.x ? recording.axes.x->max : 0) == expected.x_max);
  }
}

TEST_CASE("a recording that stops in a frame says so") {
  Notes notes;
  const Recording recording = read("3m.event.gz", notes);
  CHECK(notes.has("cut_at_end"));
  CHECK(std::count_if(recording.contacts.begin(), recording.contacts.end(),
                      [](const Contact& contact) { return contact.ending == Ending::open; }) == 2);
}

TEST_CASE("packets without ids: three fingers at once stay three contacts") {
  Notes notes;
  const Recording recording = read("ntrig-dell-xt2.event", notes);
  CHECK(recording.source.events == 146);
  CHECK(recording.contacts.size() == 4);
  CHECK(recording.reports.size() == 22);
  // The first frame of the file: (7411, 4677), (7361, 3291), (5912, 1483).
  for (int i = 0; i < 3; ++i)
    CHECK(recording.reports[recording.contacts[static_cast<std::size_t>(i)].first].t_us == 100);
}

TEST_CASE("a corner-to-corner drag of anonymous packets is one contact") {
  Notes notes;
  ReadOptions options;
  options.axes_file = path_of("evemu_ntrig.desc");
  const Recording recording = read("evemu_ntrig_1finger_drag_nw_se.events", notes, options);
  CHECK(recording.contacts.size() == 1);
  CHECK(recording.source.events == 955);
  CHECK(recording.axes.x->max == 9600);
  CHECK(recording.axes.y->max == 7200);
}

TEST_CASE("a laptop touchpad is refused by name") {
  Notes notes;
  try {
    read("bcm5974.event.gz", notes);
    FAIL("not refused");
  } catch (const InputError& error) {
    CHECK(error.exit == Exit::bad_data);
    CHECK(error.expected == "\"bcm5974 Virtual Device\" is a touchpad");
  }
}

TEST_CASE("a pen's axes come from the one listed device that covers the log's codes") {
  Notes notes;
  ReadOptions options;
  options.axes_file = path_of("getevent_p_galaxytab_s10u_devices.txt");
  const Recording recording = read("getevent_t_galaxytab_s10u_pen_stroke.txt", notes, options);
  CHECK(recording.source.events == 2540);
  REQUIRE(recording.contacts.size() == 1);
  CHECK(recording.contacts[0].tool == Tool::pen);
  CHECK(recording.contacts[0].ending == Ending::lifted);
  CHECK(recording.axes.x->max == 19589);
  CHECK(recording.axes.y->max == 31376);
  CHECK(notes.has("pen_log"));
  // BTN_TOUCH 1 and 0 stand at 1338056.064628 and 1338057.203087, the first event at 1338055.981824.
  CHECK(recording.reports.front().t_us == 82804);
  CHECK(recording.reports.back().t_us < 1221263);
}

TEST_CASE("a description beside the log with the same stem is found and noted") {
  const std::string log = path_of("evemu_quanta_optical.events");
  CHECK(axes_beside(log) == path_of("evemu_quanta_optical.desc"));
  CHECK(axes_beside(path_of("3m.event.gz")).empty());
  Notes notes;
  ReadOptions options;
  options.axes_file = axes_beside(log);
  options.axes_beside = true;
  const Recording recording = read("evemu_quanta_optical.events", notes, options);
  CHECK(recording.axes.x->max == 1920);
  CHECK(notes.has("axes_beside_log"));
}

TEST_CASE("of several listed devices one is named, or the codes decide, or nothing is guessed") {
  const auto axes = [](const std::string& device, std::string_view head) {
    const auto source = open_source(path_of("getevent_p_galaxytab_s10u_devices.txt"));
    return read_axes(*source, device, head);
  };
  CHECK(axes("sec_touchscreen", "").x->max == 1847);
  CHECK(axes("event9", "").x->max == 19589);
  CHECK(axes("", "[   1.000000] EV_ABS       ABS_MT_POSITION_X    00000004            \n").x->max == 1847);
  CHECK_THROWS_AS(axes("", ""), InputError);
  CHECK_THROWS_AS(axes("sec_touchpad", ""), InputError);
  CHECK_THROWS_AS(axes("event99", ""), InputError);
  const auto none = memory_source("none", "nothing here\n");
  CHECK_THROWS_AS(read_axes(*none, ""), InputError);
}
