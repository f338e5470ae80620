// Walks the fields of one text line. Every step says whether it matched and moves only when it did.
#pragma once

#include <charconv>
#include <cstdint>
#include <string_view>

namespace paneproof {

class FieldReader {
 public:
  explicit FieldReader(std::string_view line) : left_(line) {}

  std::string_view left() const { return left_; }
  bool at_end() const { return left_.empty(); }

  bool literal(std::string_view text) {
    if (left_.substr(0, text.size()) != text) return false;
    left_.remove_prefix(text.size());
    return true;
  }
  // Any number of blanks and tabs, none too.
  void blanks() {
    while (!left_.empty() && (left_.front() == ' ' || left_.front() == '\t')) left_.remove_prefix(1);
  }
  // The run of characters up to the next blank; empty at the end of the line.
  std::string_view word() {
    const std::size_t end = left_.find_first_of(" \t");
    const std::string_view found = left_.substr(0, end);
    left_.remove_prefix(found.size());
    return found;
  }
  // An integer that fits; no leading blanks or plus sign.
  template <typename Number>
  bool number(Number& value, int base = 10) {
    const auto [end, error] = std::from_chars(left_.data(), left_.data() + left_.size(), value, base);
    if (error != std::errc()) return false;
    left_.remove_prefix(static_cast<std::size_t>(end - left_.data()));
    return true;
  }
  // `S.UUUUUU`: whole seconds and six digits, in microseconds. At most 11 digits of seconds, so that no
  // sum of times overflows.
  bool seconds(std::int64_t& t_us) {
    const std::size_t dot = left_.find('.');
    if (dot == left_.npos || dot == 0 || dot > 11 || left_.size() < dot + 7) return false;
    std::int64_t whole = 0, micro = 0;
    if (!digits(left_.substr(0, dot), whole) || !digits(left_.substr(dot + 1, 6), micro)) return false;
    left_.remove_prefix(dot + 7);
    t_us = whole * 1000000 + micro;
    return true;
  }

 private:
  static bool digits(std::string_view text, std::int64_t& value) {
    value = 0;
    for (const char c : text) {
      if (c < '0' || c > '9') return false;
      value = value * 10 + (c - '0');
    }
    return true;
  }

  std::string_view left_;
};

}  // namespace paneproof
