// Promises that all readers of kernel events keep.
#include <catch2/catch.hpp>
#include <random>

#include "capture/log/formats.hpp"
#include "capture/model/input_error.hpp"
#include "kernel_log_text.hpp"

using namespace paneproof;

namespace {

Recording read(const std::string& bytes, Notes& notes, const ReadOptions& options = {}) {
  const auto source = memory_source("test", bytes);
  return read_log(*source, options, notes);
}

std::string crlf(const std::string& text) {
  std::string out;
  for (const char c : text) out += c == '\n' ? std::string("\r\n") : std::string(1, c);
  return out;
}

}  // namespace

TEST_CASE("one log gives one recording in every kernel format") {
  for (const KernelFormat& format : kKernelFormats) {
    CAPTURE(format.name);
    Notes notes;
    const Written log = written(format.writer);
    const Recording recording = read(log.bytes, notes);
    CHECK(recording.source.format == format.format);
    CHECK(shown(recording) == small_log_shown(5));
    CHECK(recording.source.events == 20);
    CHECK(recording.source.duration_us == 999656);
    CHECK(notes.all().empty());
  }
}

TEST_CASE("a text log with CR LF reads the same") {
  for (const KernelFormat& format : kKernelFormats) {
    if (std::string(format.format) == "input_event") continue;
    CAPTURE(format.name);
    Notes notes;
    CHECK(shown(read(crlf(written(format.writer).bytes), notes)) == small_log_shown(5));
    CHECK(notes.all().empty());
  }
}

TEST_CASE("cut at any byte, the whole frames count and a note tells the cut; without one it is refused") {
  for (const KernelFormat& format : kKernelFormats) {
    const Written log = written(format.writer);
    for (std::size_t length = 0; length < log.bytes.size(); ++length) {
      CAPTURE(format.name, length);
      std::size_t frames = 0;
      while (frames < log.frame_ends.size() && log.frame_ends[frames] <= length) ++frames;
      Notes notes;
      try {
        const std::string got = shown(read(log.bytes.substr(0, length), notes));
        // A SYN_REPORT that lacks no more than the end of its line is whole.
        const bool in_syn = length > log.syn_starts[frames];
        const bool next = in_syn && got == small_log_shown(frames + 1);
        REQUIRE((next || (frames > 0 && got == small_log_shown(frames))));
        if (!next && frames > 0 && length != log.frame_ends[frames - 1]) REQUIRE(notes.has("cut_at_end"));
        REQUIRE(notes.all().size() <= 1);
      } catch (const InputError& error) {
        REQUIRE(frames == 0);
        REQUIRE(error.exit == Exit::bad_data);
      }
    }
  }
}

TEST_CASE("a line or record that is damaged in the middle breaks contacts there and blames nobody") {
  for (const KernelFormat& format : kKernelFormats) {
    CAPTURE(format.name);
    Written log = written(format.writer);
    const bool text = std::string(format.format) != "input_event";
    // The time of the third frame's first event.
    const std::size_t at = log.frame_ends[1] + (text ? log.bytes.substr(log.frame_ends[1]).find('.') : 5);
    for (std::size_t i = 0; i < 3; ++i) log.bytes[at + i] = text ? '#' : '\xff';
    Notes notes;
    const Recording recording = read(log.bytes, notes);
    CHECK(recording.contacts.size() >= 2);
    CHECK(recording.contacts[0].ending == Ending::broken);
    CHECK(recording.holes.size() == 1);
    CHECK((notes.has("lines_damaged") || notes.has("records_damaged")));
  }
}

TEST_CASE("bytes changed, taken out or put in anywhere never do worse than InputError") {
  const unsigned seed = 90210;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (const KernelFormat& format : kKernelFormats) {
    const std::string whole = written(format.writer).bytes;
    for (int run = 0; run < 400; ++run) {
      CAPTURE(format.name, run);
      std::string bytes = whole;
      for (unsigned change = 0; change <= random() % 4; ++change) {
        const std::size_t at = random() % bytes.size();
        if (random() % 3 == 0)
          bytes.erase(at, random() % 9);
        else if (random() % 2)
          bytes.insert(at, 1 + random() % 5, static_cast<char>(random()));
        else
          bytes[at] = static_cast<char>(random());
        if (bytes.empty()) bytes = "x";
      }
      Notes notes;
      try {
        const Recording recording = read(bytes, notes);
        for (const Contact& contact : recording.contacts) REQUIRE(contact.count > 0);
      } catch (const InputError& error) {
        REQUIRE(error.exit == Exit::bad_data);
      }
    }
  }
}

TEST_CASE("an empty log, rubbish and a log without touch are refused with what was found") {
  const auto message = [](const std::string& bytes) {
    Notes notes;
    try {
      read(bytes, notes);
    } catch (const InputError& error) {
      CHECK(error.exit == Exit::bad_data);
      return std::string(error.what());
    }
    return std::string("not refused");
  };
  CHECK(message("").find("empty") != std::string::npos);
  CHECK(message("hello\nworld\n").find("no known format") != std::string::npos);
  CHECK(message(std::string(5000, '\xf7')).find("no known format") != std::string::npos);
  CHECK(message("E: 1.000000 0001 0074 1\nE: 1.000000 0000 0000 0\n")
            .find("no touch in this log, but 2 events") != std::string::npos);
}
