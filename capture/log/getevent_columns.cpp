#include "capture/log/getevent_columns.hpp"

#include <bit>
#include <cstring>

namespace paneproof {
namespace {

constexpr std::size_t kTypeWidth = 12, kCodeAt = 13, kCodeWidth = 20, kValueAt = 34;
constexpr std::uint64_t kAll = 0x0101010101010101;

std::uint64_t word_at(const char* text) {
  std::uint64_t word;
  std::memcpy(&word, text, 8);
  return word;
}

std::uint32_t half_at(const char* text) {
  std::uint32_t word;
  std::memcpy(&word, text, 4);
  return word;
}

// Eight lower-case hexadecimal digits, the first in the lowest byte (little endian).
bool hex8(std::uint64_t text, std::uint32_t& value) {
  const std::uint64_t letter = text >> 6 & kAll;     // 1 where 'a' to 'f'
  const std::uint64_t moved = text - letter * 0x27;  // digits 0x30 to 0x39, letters 0x3a to 0x3f
  const std::uint64_t over_nine = ((moved & kAll * 0x0f) + kAll * 6) >> 4 & kAll;
  if ((moved & kAll * 0xf0) != kAll * 0x30 || over_nine != letter) return false;
  std::uint64_t n = moved & kAll * 0x0f;
  n = (n << 4 | n >> 8) & 0x00ff00ff00ff00ff;
  n = (n | n >> 8) & 0x0000ffff0000ffff;
  n = n | n >> 16;
  const auto low_first = static_cast<std::uint32_t>(n);
  value = low_first << 24 | (low_first & 0xff00) << 8 | (low_first >> 8 & 0xff00) | low_first >> 24;
  return true;
}

// `.UUUUUU]` in one word.
bool micro(std::uint64_t text, std::int64_t& value) {
  if ((text & 0xff) != '.' || text >> 56 != ']') return false;
  const std::uint64_t digits = text >> 8 & 0xffffffffffff;
  constexpr std::uint64_t kSix = kAll & 0xffffffffffff;
  if ((digits & kSix * 0xf0) != kSix * 0x30 || ((digits + kSix * 6) & kSix * 0xf0) != kSix * 0x30)
    return false;
  const std::uint64_t n = digits & kSix * 0x0f;
  const auto digit = [&](int i) { return static_cast<std::int64_t>(n >> (8 * i) & 0x0f); };
  value = ((((digit(0) * 10 + digit(1)) * 10 + digit(2)) * 10 + digit(3)) * 10 + digit(4)) * 10 + digit(5);
  return true;
}

}  // namespace

GeteventColumns::Names GeteventColumns::names_at(const char* field) {
  const char* code = field + kCodeAt;
  return {word_at(field), word_at(code), word_at(code + 8),
          std::uint64_t{half_at(field + 8)} << 32 | half_at(code + 16)};
}

std::size_t GeteventColumns::place(const Names& names) {
  const std::uint64_t mixed =
      (names.type ^ std::rotl(names.code_a, 21) ^ std::rotl(names.code_b, 42) ^ names.rest) *
      0x9e3779b97f4a7c15;
  return mixed >> 56;
}

bool GeteventColumns::time(std::string_view line, KernelEvent& event, std::size_t& used) {
  const char* text = line.data();
  if (text[0] != '[') return false;
  std::size_t dot = 9;
  while (dot < 12 && text[dot] != '.') ++dot;  // seconds of more than eight digits are wider
  std::int64_t micro_us = 0;
  if (!micro(word_at(text + dot), micro_us) || text[dot + 8] != ' ') return false;
  const std::uint64_t seconds_text = word_at(text + dot - 8);
  if (seconds_us_ < 0 || seconds_text != seconds_text_ || dot != 9) {
    std::int64_t seconds = 0;
    std::size_t at = 1;
    while (at < dot && text[at] == ' ') ++at;
    if (at == dot) return false;
    for (; at < dot; ++at) {
      if (text[at] < '0' || text[at] > '9') return false;
      seconds = seconds * 10 + (text[at] - '0');
    }
    seconds_us_ = seconds * 1000000;
    seconds_text_ = dot == 9 ? seconds_text : 0;
  }
  event.t_us = seconds_us_ + micro_us;
  used = dot + 9;
  return true;
}

bool GeteventColumns::labelled(std::string_view fields, KernelEvent& event) const {
  if (fields.size() < kValueAt + 8 || fields[kTypeWidth] != ' ' || fields[kValueAt - 1] != ' ') return false;
  if (fields.size() > kValueAt + 8 && fields[kValueAt + 8] != ' ') return false;
  const Names names = names_at(fields.data());
  const Known& known = known_[place(names)];
  std::uint32_t value = 0;
  if (!known.filled || !(known.names == names) || !hex8(word_at(fields.data() + kValueAt), value))
    return false;
  event.type = known.type;
  event.code = known.code;
  event.value = static_cast<std::int32_t>(value);
  return true;
}

bool GeteventColumns::read(std::string_view line, KernelEvent& event, std::size_t& device) {
  if constexpr (std::endian::native != std::endian::little) return false;
  if (line.size() < 36) return false;
  std::size_t used = 0;
  if (!time(line, event, used)) return false;
  std::string_view fields = line.substr(used);
  const bool column = !fields.empty() && fields[0] == '/';
  if (!any_node_ || column != !node_.empty()) return false;
  if (column) {
    if (fields.substr(0, node_.size()) != node_) return false;
    fields.remove_prefix(node_.size());
  }
  device = device_;
  // A name of a type is never blank at its fifth character; four digits of one are always.
  if (fields.size() != 18 || fields[4] != ' ' || fields[9] != ' ') return labelled(fields, event);
  std::uint32_t names = 0, value = 0;
  const std::uint64_t both = std::uint64_t{half_at(fields.data() + 5)} << 32 | half_at(fields.data());
  if (!hex8(both, names) || !hex8(word_at(fields.data() + 10), value)) return false;
  event.type = static_cast<std::uint16_t>(names >> 16);
  event.code = static_cast<std::uint16_t>(names);
  event.value = static_cast<std::int32_t>(value);
  return true;
}

void GeteventColumns::learn(std::string_view line, std::string_view node, const KernelEvent& event,
                            std::size_t device) {
  any_node_ = true;
  device_ = device;
  node_.assign(node);
  if (!node.empty()) node_ += ": ";
  const std::size_t close = line.find("] ");
  if (close == line.npos) return;
  std::string_view fields = line.substr(close + 2);
  if (fields.substr(0, node_.size()) != node_) return;
  fields.remove_prefix(node_.size());
  if (fields.size() < kValueAt + 8 || fields.substr(0, 3) != "EV_") return;
  // Only when each name stands in its own column, padded with blanks.
  const auto padded = [](std::string_view column) {
    const std::size_t end = column.find(' ');
    return end == column.npos || (end > 0 && column.find_first_not_of(' ', end) == column.npos);
  };
  if (!padded(fields.substr(0, kTypeWidth)) || fields[kTypeWidth] != ' ') return;
  if (!padded(fields.substr(kCodeAt, kCodeWidth)) || fields[kCodeAt + kCodeWidth] != ' ') return;
  const Names names = names_at(fields.data());
  known_[place(names)] = {names, event.type, event.code, true};
}

}  // namespace paneproof
