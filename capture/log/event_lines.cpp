#include "capture/log/event_lines.hpp"

#include <string>

#include "capture/model/input_error.hpp"

namespace paneproof {

void LineDamage::other(const Lines& lines) {
  const std::size_t start = lines.text().find_first_not_of(" \t");
  if (start == std::string_view::npos || lines.text()[start] == '#') return;
  if (!lines.ended()) {
    cut_ = true;
    return;
  }
  count("lines_skipped", " is no event and was left out: ", lines);
}

void LineDamage::damaged(const Lines& lines) {
  if (!lines.ended()) {
    cut_ = true;
    return;
  }
  devices_.lost();
  count("lines_damaged", " is a damaged event; contacts end there: ", lines);
}

void LineDamage::count(const char* id, const char* what, const Lines& lines) {
  if (notes_.has(id)) return notes_.add(id, "");
  notes_.add(id, "line " + std::to_string(lines.number()) + what + "\"" + printable(lines.text(), 60) + "\"");
}

}  // namespace paneproof
