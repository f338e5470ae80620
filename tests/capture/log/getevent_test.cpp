#include "capture/log/getevent.hpp"

#include <catch2/catch.hpp>
#include <random>

#include "capture/log/formats.hpp"
#include "capture/log/getevent_columns.hpp"
#include "capture/log/getevent_line.hpp"
#include "capture/model/input_error.hpp"
#include "kernel_log_text.hpp"

using namespace paneproof;

namespace {

Recording read(const std::string& text, Notes& notes, const ReadOptions& options = {}) {
  const auto source = memory_source("test", text);
  return read_log(*source, options, notes);
}

std::string refusal(const std::string& text, const ReadOptions& options = {}) {
  Notes notes;
  try {
    read(text, notes, options);
  } catch (const InputError& error) {
    CHECK(error.exit == Exit::bad_data);
    return error.what();
  }
  return "not refused";
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// Events of a touching device in `getevent -t` with its column.
std::string touch(const std::string& node, int x) {
  const std::string start = "[       1.000000] " + node + ": ";
  return start + "0003 0039 00000001\n" + start + text("0003 0035 %08x\n", x) + start +
         "0003 0036 00000010\n" + start + "0000 0000 00000000\n";
}

std::string device(int number, const std::string& node, const std::string& name, const std::string& keys,
                   const std::string& axes, const std::string& property) {
  return text("add device %d: ", number) + node + "\n  name:     \"" + name + "\"\n  events:\n" + keys +
         axes + "  input props:\n    " + property + "\n";
}

const std::string kTouchAxes =
    "    ABS (0003): 002f  : value 0, min 0, max 9, fuzz 0, flat 0, resolution 0\n"
    "                0035  : value 0, min 0, max 1079, fuzz 0, flat 0, resolution 15\n"
    "                0036  : value 0, min -5, max 2339, fuzz 0, flat 0, resolution 15\n"
    "                0039  : value 0, min 0, max 65535, fuzz 0, flat 0, resolution 0\n";

}  // namespace

TEST_CASE("read by column or by field, a line is the same event") {
  const unsigned seed = 5150;
  CAPTURE(seed);
  std::mt19937 random(seed);
  GeteventColumns columns;
  std::size_t by_column = 0;
  const Writer writers[] = {as_getevent_lt, as_getevent_t, as_getevent_lt_column};
  for (int run = 0; run < 60000; ++run) {
    const std::int64_t t_us = static_cast<std::int64_t>(random()) * (random() % 5 == 0 ? 100000 : 1);
    std::string line =
        writers[run / 20000](t_us % 99999999999999999, random() % 2 ? EV_ABS : EV_SYN,
                             static_cast<std::uint16_t>(random() % 64), static_cast<std::int32_t>(random()));
    line.pop_back();
    for (unsigned change = random() % 3; change > 0; --change) {
      const std::size_t at = random() % line.size();
      const char kinds[] = " .[]:/0159afgEA_\x80";
      if (random() % 8 == 0)
        line.erase(at, 1);
      else
        line[at] = kinds[random() % (sizeof kinds - 1)];
      if (line.empty()) line = "x";
    }
    CAPTURE(run, line);
    GeteventLine general;
    const LineKind kind = parse_getevent_line(line, general);
    KernelEvent event;
    std::size_t place = 0;
    if (columns.read(line, event, place)) {
      ++by_column;
      REQUIRE(kind == LineKind::event);
      REQUIRE(event.t_us == general.event.t_us);
      REQUIRE(event.type == general.event.type);
      REQUIRE(event.code == general.event.code);
      REQUIRE(event.value == general.event.value);
      REQUIRE(place == general.node.size());
    } else if (kind == LineKind::event) {
      columns.learn(line, general.node, general.event, general.node.size());
    }
  }
  CHECK(by_column > 10000);
}

TEST_CASE("labels, unknown codes in hexadecimal, a rate and the old time layout are read") {
  GeteventLine out;
  CHECK(parse_getevent_line("[   12.000345] EV_KEY       BTN_TOUCH            DOWN                ", out) ==
        LineKind::event);
  CHECK(out.event.t_us == 12000345);
  CHECK(out.event.code == BTN_TOUCH);
  CHECK(out.event.value == 1);
  CHECK(parse_getevent_line("[   12.000345] EV_ABS       ABS_MT_TOOL_TYPE     MT_TOOL_PALM        ", out) ==
        LineKind::event);
  CHECK(out.event.value == MT_TOOL_PALM);
  CHECK(parse_getevent_line("[   12.000345] EV_ABS       003f                 ffffffff            ", out) ==
        LineKind::event);
  CHECK(out.event.code == 0x3f);
  CHECK(out.event.value == -1);
  CHECK(parse_getevent_line("[   12.000345] EV_SYN       SYN_REPORT           00000000             rate 120",
                            out) == LineKind::event);
  CHECK(parse_getevent_line("12-345: /dev/input/event1: 0003 0035 00000010", out) == LineKind::event);
  CHECK(out.event.t_us == 12000345);
  CHECK(out.node == "/dev/input/event1");
  CHECK(parse_getevent_line("[   12.000345] EV_ABS", out) == LineKind::damaged);
  CHECK(parse_getevent_line("[   12.0003", out) == LineKind::damaged);
  CHECK(parse_getevent_line("[user@bench ~]$ ls", out) == LineKind::other);
  CHECK(parse_getevent_line("[  -12.000345] 0000 0000 00000000", out) == LineKind::other);
}

TEST_CASE("getevent without times is refused with what to record") {
  CHECK(holds(refusal("/dev/input/event1: 0003 0035 00000010\n/dev/input/event1: 0000 0000 00000000\n"),
              "getevent -lt"));
  CHECK(holds(refusal("0003 0035 00000010\n0000 0000 00000000\n"), "getevent -lt"));
}

TEST_CASE("other programs' lines are counted and not in the way") {
  Notes notes;
  const std::string log =
      "could not get driver version for /dev/input/mice, Not a typewriter\n$ getevent -lt\n" +
      written(as_getevent_lt).bytes + "^C\n";
  CHECK(shown(read(log, notes)) == small_log_shown(5));
  REQUIRE(notes.all().size() == 1);
  CHECK(notes.all()[0].id == "lines_skipped");
  CHECK(notes.all()[0].count == 3);
}

TEST_CASE("the list before the events gives name, kind and axes, with and without labels") {
  const std::string labelled =
      "    ABS (0003): ABS_MT_SLOT           : value 0, min 0, max 9, fuzz 0, flat 0, resolution 0\n"
      "                ABS_MT_POSITION_X     : value 0, min 0, max 1079, fuzz 0, flat 0, resolution 15\n"
      "                ABS_MT_POSITION_Y     : value 0, min -5, max 2339, fuzz 0, flat 0, resolution 15\n"
      "                ABS_MT_TRACKING_ID    : value 0, min 0, max 65535, fuzz 0, flat 0, resolution 0\n";
  for (const std::string& axes : {kTouchAxes, labelled}) {
    Notes notes;
    const Recording recording = read(device(1, "/dev/input/event2", "glass", "", axes, "INPUT_PROP_DIRECT") +
                                         touch("/dev/input/event2", 16),
                                     notes);
    CHECK(recording.source.device == "glass");
    REQUIRE(recording.axes.x);
    REQUIRE(recording.axes.y);
    CHECK(recording.axes.x->max == 1079);
    CHECK(recording.axes.y->min == -5);
    CHECK(recording.axes.y->units_per_mm == 15);
    CHECK(recording.axes.square_units);
    CHECK(recording.axes.origin == "log");
    CHECK(notes.all().empty());
  }
}

TEST_CASE("events without a column are of the listed device that covers their codes") {
  Notes notes;
  const std::string list = device(1, "/dev/input/event2", "glass", "", kTouchAxes, "INPUT_PROP_DIRECT") +
                           device(2, "/dev/input/event3", "pad", "", kTouchAxes, "INPUT_PROP_POINTER");
  CHECK(read(list + written(as_getevent_t).bytes, notes).source.device == "glass");
}

TEST_CASE("touchpads and mice are refused by name") {
  const std::string pad = device(1, "/dev/input/event3", "pad", "", kTouchAxes, "INPUT_PROP_POINTER");
  CHECK(holds(refusal(pad + touch("/dev/input/event3", 16)), "\"pad\" is a touchpad"));
  const std::string old_pad =
      device(1, "/dev/input/event3", "old pad", "    KEY (0001): 0110  0145  014a \n", kTouchAxes, "<none>");
  CHECK(holds(refusal(old_pad + touch("/dev/input/event3", 16)), "\"old pad\" is a touchpad"));
  CHECK(holds(refusal("[       1.000000] /dev/input/event9: 0002 0000 00000003\n"
                      "[       1.000000] /dev/input/event9: 0000 0000 00000000\n"),
              "is a mouse"));
}

TEST_CASE("of several devices the one with contacts is read; two are never guessed between") {
  const std::string two = touch("/dev/input/event2", 16) + touch("/dev/input/event5", 99);
  CHECK(holds(refusal(two), "several devices have contacts"));
  for (const std::string name : {"/dev/input/event5", "event5"}) {
    ReadOptions options;
    options.device = name;
    Notes notes;
    CHECK(read(two, notes, options).reports[0].x == 99);
  }
  ReadOptions wrong;
  wrong.device = "event7";
  CHECK(holds(refusal(two, wrong), "no device \"event7\""));
  Notes notes;
  CHECK(read("[       1.000000] /dev/input/event0: 0001 0074 00000001\n" + touch("/dev/input/event2", 16),
             notes)
            .source.device == "/dev/input/event2");
}

TEST_CASE("a finger touchscreen goes before a pen, and the note names both") {
  const std::string pen_axes =
      "    ABS (0003): 0000  : value 0, min 0, max 19589, fuzz 4, flat 0, resolution 0\n"
      "                0001  : value 0, min 0, max 31376, fuzz 4, flat 0, resolution 0\n";
  const std::string start = "[       1.000000] /dev/input/event9: ";
  const std::string log =
      device(1, "/dev/input/event9", "quill", "    KEY (0001): 0140  014a \n", pen_axes, "<none>") +
      device(2, "/dev/input/event2", "glass", "", kTouchAxes, "INPUT_PROP_DIRECT") + start +
      "0001 0140 00000001\n" + start + "0003 0000 00000010\n" + start + "0003 0001 00000010\n" + start +
      "0001 014a 00000001\n" + start + "0000 0000 00000000\n";
  Notes pen;
  const Recording alone = read(log, pen);
  CHECK(alone.contacts[0].tool == Tool::pen);
  CHECK(pen.has("pen_log"));
  Notes both;
  CHECK(read(log + touch("/dev/input/event2", 16), both).source.device == "glass");
  REQUIRE(both.has("pen_left_out"));
  CHECK(holds(both.all()[0].text, "\"glass\""));
  CHECK(holds(both.all()[0].text, "\"quill\""));
}
