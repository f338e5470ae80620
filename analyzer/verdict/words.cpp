// The words that the result is told in, one table each.
#include "analyzer/verdict/verdict.hpp"

namespace paneproof {

const char* word(Outcome outcome) {
  constexpr const char* words[] = {"pass", "fail", "resweep"};
  return words[static_cast<int>(outcome)];
}

const char* word(Condition condition) {
  constexpr const char* words[] = {"film", "protector", "glove", "wet", "cold", "charging", "open"};
  return words[static_cast<int>(condition)];
}

const char* word(CellState state) {
  constexpr const char* words[] = {"proven", "silent", "intermittent", "unswept"};
  return words[static_cast<int>(state)];
}

const char* word(ZoneKind kind) {
  constexpr const char* words[] = {"line", "partial_line", "area", "edge_band", "bursts"};
  return words[static_cast<int>(kind)];
}

}  // namespace paneproof
