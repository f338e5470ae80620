// The bench's terminal during a sweep: the map so far, drawn over itself. Standard error; nothing but the
// words when it is no terminal.
#pragma once

#include <string>

#include "analyzer/cli/sweep/judging.hpp"

namespace paneproof {

class BenchTerminal {
 public:
  BenchTerminal();
  void say(const std::string& line);
  void draw(const Judged& judged);
  // The verdict as check prints it.
  void verdict(const CheckResult& result);
  bool colour() const { return colour_; }

 private:
  bool shown_, colour_;
  int drawn_rows_ = 0;
};

// Ctrl-C: 0 none yet, else how often. Counted from the first call on.
int stops_asked();

}  // namespace paneproof
