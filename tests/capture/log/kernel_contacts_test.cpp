// Rules of the kernel's Documentation/input/multi-touch-protocol.rst (MTP) and event-codes.rst (EC).
#include "capture/log/kernel_contacts.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <random>

#include "kernel_feed.hpp"

using namespace paneproof;

TEST_CASE("MTP, protocol A: two contacts, then the first lifted, then none") {
  // The document's minimal sequence for a two-contact touch, then for after the first has lifted.
  Bench bench;
  feed(bench.contacts, 0, "X 10, Y 11, MT, X 500, Y 501, MT");
  feed(bench.contacts, 8000, "X 502, Y 503, MT");
  feed(bench.contacts, 16000, "MT");
  CHECK(bench.result() == "(10,11)@0 lifted; (500,501)@0 (502,503)@8000 lifted");
}

TEST_CASE("MTP, protocol B: slots with ids; a lift by -1; unchanged slots and values are not sent") {
  // The document's sequence: contacts 45 and 46 land, contact 45 moves in x, slot 0 lifts, slot 1 after it.
  Bench bench;
  feed(bench.contacts, 0, "SLOT 0, ID 45, X 10, Y 11, SLOT 1, ID 46, X 500, Y 501");
  feed(bench.contacts, 8000, "SLOT 0, X 12");
  feed(bench.contacts, 16000, "ID -1");
  feed(bench.contacts, 24000, "SLOT 1, ID -1");
  CHECK(bench.result() == "(10,11)@0 (12,11)@8000 lifted; (500,501)@0 lifted");
}

TEST_CASE("MTP: a changed id in a slot is a new contact without a lift between") {
  Bench bench;
  feed(bench.contacts, 0, "ID 45, X 10, Y 11");
  feed(bench.contacts, 8000, "ID 46, X 12");
  CHECK(bench.result() == "(10,11)@0 lifted; (12,11)@8000 open");
}

TEST_CASE("a slot's values hold for its next contact") {
  Bench bench;
  feed(bench.contacts, 0, "ID 1, X 10, Y 11");
  feed(bench.contacts, 8000, "ID -1");
  feed(bench.contacts, 16000, "ID 2, Y 30");
  feed(bench.contacts, 24000, "ID -1");
  feed(bench.contacts, 32000, "ID 3");
  CHECK(bench.result() == "(10,11)@0 lifted; (10,30)@16000 lifted; (10,30)@32000 open");
}

TEST_CASE("a frame without a changed position gives no report") {
  Bench bench;
  feed(bench.contacts, 0, "ID 1, X 10, Y 11");
  feed(bench.contacts, 8000, "");
  feed(bench.contacts, 16000, "X 10");
  feed(bench.contacts, 24000, "X 11");
  CHECK(bench.result() == "(10,11)@0 (11,11)@24000 open");
}

TEST_CASE("a report's time is its SYN_REPORT's, from the device's first event") {
  Bench bench;
  part(bench.contacts, 5000100, "ID 1, X 10, Y 11");
  feed(bench.contacts, 5000350, "");
  CHECK(bench.result() == "(10,11)@250 open");
}

TEST_CASE("a log that begins under a finger gives it once both coordinates are known") {
  Bench bench;
  feed(bench.contacts, 0, "X 10");
  feed(bench.contacts, 8000, "X 12");
  feed(bench.contacts, 16000, "Y 20");
  feed(bench.contacts, 24000, "ID -1");
  CHECK(bench.result() == "(12,20)@16000 lifted");
}

TEST_CASE("an unfinished frame counts for nothing and is pending") {
  Bench bench;
  feed(bench.contacts, 0, "ID 1, X 10, Y 11");
  part(bench.contacts, 8000, "X 50, ID -1");
  CHECK(bench.contacts.pending());
  CHECK(bench.result() == "(10,11)@0 open");
}

TEST_CASE("MTP: protocol A contacts with ids keep them in any order; the last SYN_MT_REPORT may be missing") {
  Bench bench;
  feed(bench.contacts, 0, "ID 1, X 10, Y 10, MT, ID 2, X 50, Y 50, MT");
  feed(bench.contacts, 8000, "ID 2, X 11, Y 11, MT, ID 1, X 51, Y 51");
  feed(bench.contacts, 16000, "ID 1, X 52, Y 52, MT");
  feed(bench.contacts, 24000, "TOUCH 0");
  CHECK(bench.result() == "(10,10)@0 (51,51)@8000 (52,52)@16000 lifted; (50,50)@0 (11,11)@8000 lifted");
}

TEST_CASE("protocol A without ids pairs frames by least distance in sum, not greedily") {
  // Greedy by the nearest pair first would join (10,0)-(9,0) and leave (0,0)-(20,0).
  Bench bench;
  feed(bench.contacts, 0, "X 0, Y 0, MT, X 10, Y 0, MT");
  feed(bench.contacts, 8000, "X 20, Y 0, MT, X 9, Y 0, MT");
  CHECK(bench.result() == "(0,0)@0 (9,0)@8000 open; (10,0)@0 (20,0)@8000 open");
}

TEST_CASE("protocol A without ids: a step beyond a quarter of the longer axis is another contact") {
  Bench bench;
  bench.device.add_range(ABS_MT_POSITION_X, {0, 1000, 0});
  bench.device.add_range(ABS_MT_POSITION_Y, {0, 400, 0});
  bench.device.listed = true;
  feed(bench.contacts, 0, "X 0, Y 0, MT");
  feed(bench.contacts, 8000, "X 250, Y 0, MT");
  feed(bench.contacts, 16000, "X 501, Y 0, MT");
  CHECK(bench.result() == "(0,0)@0 (250,0)@8000 lifted; (501,0)@16000 open");
}

TEST_CASE("EC: single touch is BTN_TOUCH with ABS_X and ABS_Y; without it a position proves nothing") {
  Bench bench;
  feed(bench.contacts, 0, "SX 1, SY 2");
  feed(bench.contacts, 8000, "TOUCH 1, SX 10, SY 20");
  feed(bench.contacts, 16000, "SX 11");
  feed(bench.contacts, 24000, "TOUCH 0, SX 12");
  feed(bench.contacts, 32000, "SX 13");
  feed(bench.contacts, 40000, "TOUCH 1");
  CHECK(bench.result() == "(10,20)@8000 (11,20)@16000 lifted; (13,20)@40000 open");
}

TEST_CASE("multi-touch speaks for a device that sends both") {
  Bench bench;
  feed(bench.contacts, 0, "ID 1, X 10, Y 11, TOUCH 1, SX 10, SY 11");
  feed(bench.contacts, 8000, "X 12, SX 12");
  feed(bench.contacts, 16000, "ID -1, TOUCH 0");
  CHECK(bench.result() == "(10,11)@0 (12,11)@8000 lifted");
}

TEST_CASE("hovering proves nothing: a contact lands when it comes down and has lifted when it rises") {
  Bench slots;
  feed(slots.contacts, 0, "ID 1, X 10, Y 11, DISTANCE 5");
  feed(slots.contacts, 8000, "X 12, DISTANCE 0");
  feed(slots.contacts, 16000, "X 14");
  feed(slots.contacts, 24000, "X 16, DISTANCE 1");
  feed(slots.contacts, 32000, "X 18, DISTANCE 0");
  CHECK(slots.result() == "(12,11)@8000 (14,11)@16000 lifted; (18,11)@32000 open");
  Bench packets;
  feed(packets.contacts, 0, "X 10, Y 11, DISTANCE 3, MT");
  feed(packets.contacts, 8000, "X 12, Y 11, MT");
  CHECK(packets.result() == "(12,11)@8000 open");
  Bench pen;
  feed(pen.contacts, 0, "PEN 1, SX 10, SY 11, SDISTANCE 40");
  feed(pen.contacts, 8000, "TOUCH 1, SX 12, SDISTANCE 0");
  feed(pen.contacts, 16000, "TOUCH 0, SX 13, SDISTANCE 2");
  feed(pen.contacts, 24000, "PEN 0");
  CHECK(pen.result() == "(12,11)@8000 lifted pen");
}

TEST_CASE("MTP, MT_TOOL_TYPE: a palm is a palm for its whole contact and is taken back; a pen is a pen") {
  Bench bench;
  feed(bench.contacts, 0, "ID 1, X 10, Y 11, TOOL 0");
  feed(bench.contacts, 8000, "X 12, TOOL 2");
  feed(bench.contacts, 16000, "TOOL 0, ID -1");
  feed(bench.contacts, 24000, "ID 2, X 20");
  feed(bench.contacts, 32000, "ID -1");
  feed(bench.contacts, 40000, "ID 3, TOOL 1");
  CHECK(bench.result() ==
        "(10,11)@0 (12,11)@8000 cancelled palm; (20,11)@24000 lifted; (20,11)@40000 open pen");
}

TEST_CASE("MTP, MT_TOOL_TYPE: a finger that lands in a palm's slot is a finger") {
  Bench bench;
  feed(bench.contacts, 0, "ID 1, X 10, Y 11, TOOL 2");
  feed(bench.contacts, 8000, "ID 2, TOOL 0, X 20");
  feed(bench.contacts, 16000, "TOOL 2");
  feed(bench.contacts, 24000, "ID -1");
  feed(bench.contacts, 32000, "ID 3, TOOL 0, X 30");
  CHECK(bench.result() == "(10,11)@0 cancelled palm; (20,11)@8000 cancelled palm; (30,11)@32000 open");
}

TEST_CASE(
    "EC, SYN_DROPPED: all contacts end broken; up to the next SYN_REPORT nothing counts; what follows is "
    "new") {
  Bench bench;
  feed(bench.contacts, 0, "SLOT 0, ID 1, X 10, Y 11, SLOT 1, ID 2, X 50, Y 51");
  part(bench.contacts, 8000, "DROPPED, SLOT 0, ID -1, X 99");
  feed(bench.contacts, 9000, "Y 98");
  feed(bench.contacts, 16000, "SLOT 1, X 52");
  feed(bench.contacts, 24000, "Y 53");
  const Recording recording = bench.recording();
  CHECK(shown(recording) == "(10,11)@0 broken; (50,51)@0 broken; (52,53)@24000 open");
  REQUIRE(recording.holes.size() == 1);
  CHECK(recording.holes[0].from_us == 0);
  CHECK(recording.holes[0].to_us == 9000);
  CHECK(recording.holes[0].kind == Hole::Kind::events_dropped);
}

TEST_CASE("after lost events a slot that was not named again holds no contact for ever") {
  // The slot in use may have changed among the lost events: what came before it is named is broken.
  Bench bench;
  feed(bench.contacts, 0, "ID 1, X 10, Y 11");
  feed(bench.contacts, 8000, "DROPPED");
  feed(bench.contacts, 16000, "X 60, Y 61");
  feed(bench.contacts, 24000, "SLOT 1, X 62");
  CHECK(bench.result() == "(10,11)@0 broken; (60,61)@16000 broken");
}

TEST_CASE("single touch goes on after lost events unless the device can hover") {
  Bench bench;
  feed(bench.contacts, 0, "TOUCH 1, SX 10, SY 11");
  feed(bench.contacts, 8000, "DROPPED");
  feed(bench.contacts, 16000, "SX 20, SY 21");
  CHECK(bench.result() == "(10,11)@0 broken; (20,21)@16000 open");
  Bench pen;
  feed(pen.contacts, 0, "PEN 1, TOUCH 1, SX 10, SY 11");
  feed(pen.contacts, 8000, "DROPPED");
  feed(pen.contacts, 16000, "SX 20, SY 21");
  CHECK(pen.result() == "(10,11)@0 broken pen");
}

TEST_CASE("a clock that steps back breaks contacts in a hole, and time never runs back") {
  Bench bench;
  feed(bench.contacts, 1000000, "ID 1, X 10, Y 11");
  feed(bench.contacts, 1008000, "X 12");
  feed(bench.contacts, 500000, "X 14");
  feed(bench.contacts, 508000, "X 16");
  const Recording recording = bench.recording();
  CHECK(shown(recording) == "(10,11)@0 (12,11)@8000 broken; (14,11)@8000 (16,11)@16000 open");
  REQUIRE(recording.holes.size() == 1);
  CHECK(recording.holes[0].kind == Hole::Kind::clock_stepped_back);
}

TEST_CASE("slots out of range are left out and noted; the others are read on") {
  Bench bench;
  feed(bench.contacts, 0,
       "SLOT 2147483647, ID 1, X 10, Y 11, SLOT -5, ID 2, X 1, Y 1, SLOT 255, ID 3, X 20, Y 21");
  CHECK(bench.result() == "(20,21)@0 open");
  CHECK(bench.notes.has("slot_out_of_range"));
}

TEST_CASE("any events are safe, keep time in order and contacts whole") {
  const unsigned seed = 424242;
  CAPTURE(seed);
  std::mt19937 random(seed);
  const std::int32_t values[] = {0,
                                 1,
                                 -1,
                                 2,
                                 5,
                                 255,
                                 256,
                                 std::numeric_limits<std::int32_t>::max(),
                                 std::numeric_limits<std::int32_t>::min(),
                                 1000};
  const std::uint16_t codes[] = {
      ABS_MT_SLOT, ABS_MT_TRACKING_ID, ABS_MT_POSITION_X, ABS_MT_POSITION_Y, ABS_X,
      ABS_Y,       ABS_MT_TOOL_TYPE,   ABS_MT_DISTANCE,   ABS_DISTANCE,      0xffff};
  for (int run = 0; run < 200; ++run) {
    Bench bench;
    bench.device.listed = run % 3 == 0;
    std::int64_t t_us = 0;
    for (int i = 0; i < 500; ++i) {
      const unsigned kind = random() % 20;
      t_us += random() % 50 == 0   ? -(std::int64_t{1} << 58)
              : random() % 60 == 0 ? std::int64_t{1} << 58
                                   : random() % 9000;
      t_us = std::max<std::int64_t>(0, std::min<std::int64_t>(t_us, std::int64_t{1} << 59));
      const std::int32_t value = values[random() % 10];
      if (kind < 4)
        bench.contacts.event(t_us, EV_SYN, SYN_REPORT, 0);
      else if (kind < 5)
        bench.contacts.event(t_us, EV_SYN, static_cast<std::uint16_t>(random() % 4), 0);
      else if (kind < 7)
        bench.contacts.event(t_us, EV_KEY, random() % 2 ? BTN_TOUCH : BTN_TOOL_PEN, value);
      else if (kind < 8)
        bench.contacts.event(t_us, EV_MSC, MSC_TIMESTAMP, value);
      else
        bench.contacts.event(t_us, EV_ABS, codes[random() % (run % 2 ? 10 : 4)], value);
    }
    const Recording recording = bench.recording();
    CAPTURE(run);
    std::uint32_t next = 0;
    for (const Contact& contact : recording.contacts) {
      REQUIRE(contact.first == next);
      REQUIRE(contact.count > 0);
      next += contact.count;
      for (std::uint32_t k = contact.first + 1; k < next; ++k)
        REQUIRE(recording.reports[k].t_us >= recording.reports[k - 1].t_us);
    }
    REQUIRE(next == recording.reports.size());
  }
}
