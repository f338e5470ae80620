// Reads a log from text with one reader, for the tests of the point formats.
#pragma once

#include <string>

#include "capture/bytes/source.hpp"
#include "capture/log/reader.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof::testing {

struct Reading {
  Recording recording;
  Notes notes;
};

inline Reading read_text(const Format& format, const std::string& text, const ReadOptions& options = {}) {
  const auto source = memory_source("log", text);
  Reading out;
  out.recording = format.read(*source, options, out.notes);
  return out;
}

// The message of the InputError (65) that the reader throws; "" when it throws none.
inline std::string refusal(const Format& format, const std::string& text) {
  try {
    read_text(format, text);
  } catch (const InputError& error) {
    return error.exit == Exit::bad_data ? error.what() : "wrong exit code: " + std::string(error.what());
  }
  return "";
}

inline bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// Every beginning of the log either gives some of the whole log's first reports, at most one of them
// less than the cut leaves whole, or is refused because it has none. Returns the first length that
// breaks this, or -1. `whole_points` says how many points are whole in a beginning.
template <typename WholePoints>
long cut_that_breaks(const Format& format, const std::string& text, WholePoints whole_points) {
  const Recording whole = read_text(format, text).recording;
  for (std::size_t length = 0; length < text.size(); ++length) {
    const std::string beginning = text.substr(0, length);
    const std::size_t expected = whole_points(beginning);
    try {
      const Reading got = read_text(format, beginning);
      if (got.recording.reports.size() != expected || expected == 0) return static_cast<long>(length);
      for (std::size_t i = 0; i < expected; ++i) {
        const Report &a = got.recording.reports[i], &b = whole.reports[i];
        if (a.t_us != b.t_us || a.x != b.x || a.y != b.y || a.contact != b.contact)
          return static_cast<long>(length);
      }
    } catch (const InputError& error) {
      if (expected != 0 || error.exit != Exit::bad_data) return static_cast<long>(length);
    }
  }
  return -1;
}

}  // namespace paneproof::testing
