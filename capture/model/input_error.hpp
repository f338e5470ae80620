// The one exception for bad input: what was wrong, where, what was expected there and what to do.
// Readers, option checks and file writers throw it; only `main` (and loops that must outlive one
// bad file) catch it. It prints as one line.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace paneproof {

// Exit codes as in sysexits.h; below 64 they are verdicts.
enum class Exit : int {
  pass = 0,
  fail = 1,
  resweep = 2,
  usage = 64,
  bad_data = 65,
  no_input = 66,
  software = 70,
  cannot_create = 73,
  io_error = 74,
};

struct InputError : std::runtime_error {
  // file: as the user named it ("-" is standard input, "" when no file is concerned);
  // place: "line 12", "byte 4096" or "" ; expected: what should have stood there;
  // remedy: what the user can do about it. Control characters are escaped in what().
  InputError(std::string file, std::string place, std::string expected, std::string remedy,
             Exit exit = Exit::bad_data);

  std::string file, place, expected, remedy;
  Exit exit;
};

// Foreign text made safe for one terminal line: control, escape and invalid UTF-8 bytes become
// \xNN, and anything past `longest` bytes becomes "...".
std::string printable(std::string_view text, std::size_t longest = 120);

}  // namespace paneproof
