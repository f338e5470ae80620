#include "analyzer/verdict/limits.hpp"

#include <array>
#include <charconv>
#include <cmath>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

struct Entry {
  const char* name;
  const char* unit;
  double Limits::*value;
  double least, most;
};

// The table of limits: one more limit is one more line here and one in docs/limits.txt.
constexpr std::array<Entry, 9> entries = {{
    {"fingertip", "mm", &Limits::fingertip_mm, 3, 30},
    {"cell", "mm", &Limits::cell_mm, 1, 20},
    {"jitter_rms", "mm", &Limits::jitter_rms_mm, 0.01, 10},
    {"ghosts", "count", &Limits::ghosts, 1, 1000},
    {"edge_deeper", "mm", &Limits::edge_deeper_mm, 0.5, 20},
    {"report_rate", "Hz", &Limits::report_rate_hz, 1, 1000},
    {"jitter_ratio", "times", &Limits::jitter_ratio, 1.1, 100},
    {"rate_ratio", "times", &Limits::rate_ratio, 0.05, 1},
    {"followed", "share", &Limits::followed, 0.5, 1},
}};

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

std::string number(double value) {
  char text[32];
  return {text, std::to_chars(text, text + sizeof text, value).ptr};
}

std::string names() {
  std::string all;
  for (const Entry& entry : entries) all += (all.empty() ? "" : ", ") + std::string(entry.name);
  return all;
}

class Parser {
 public:
  Parser(const std::string& file, Limits& limits) : file_(file), limits_(limits) {}

  void line(std::string_view whole, int at) {
    whole_ = whole;
    at_ = at;
    const std::string_view text = trimmed(whole.substr(0, whole.find('#')));
    if (text.empty()) return;
    const auto equals = text.find('=');
    if (equals == std::string_view::npos) refuse(text, "expected `name = value unit`");
    const std::string_view name = trimmed(text.substr(0, equals)), rest = trimmed(text.substr(equals + 1));
    for (std::size_t i = 0; i < entries.size(); ++i)
      if (name == entries[i].name) return set(i, name, rest);
    refuse(name, "expected one of: " + names());
  }

 private:
  void set(std::size_t i, std::string_view name, std::string_view rest) {
    const Entry& entry = entries[i];
    if (seen_[i]) refuse(name, "expected each limit once");
    seen_[i] = true;
    double value = 0;
    const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), value);
    if (error != std::errc() || !std::isfinite(value))
      refuse(rest, "expected a number, then `" + std::string(entry.unit) + "`");
    if (trimmed({end, static_cast<std::size_t>(rest.data() + rest.size() - end)}) != entry.unit)
      refuse(rest, "expected the unit `" + std::string(entry.unit) + "` after the number");
    if (value < entry.least || value > entry.most)
      refuse(rest, "expected " + number(entry.least) + " to " + number(entry.most) + " " + entry.unit);
    limits_.*entry.value = value;
  }

  [[noreturn]] void refuse(std::string_view part, const std::string& expected) const {
    const auto column = part.empty() ? 0 : static_cast<std::size_t>(part.data() - whole_.data());
    throw InputError(file_, "line " + std::to_string(at_) + ", column " + std::to_string(column + 1),
                     expected + ", found `" + std::string(trimmed(part)) + "`",
                     "see docs/limits.txt for every limit");
  }

  const std::string& file_;
  Limits& limits_;
  std::array<bool, entries.size()> seen_{};
  std::string_view whole_;
  int at_ = 0;
};

Limits parse_over(Limits limits, std::string_view text, const std::string& file) {
  Parser parser(file, limits);
  for (int at = 1; !text.empty(); ++at) {
    const auto end = std::min(text.find('\n'), text.size());
    parser.line(text.substr(0, end), at);
    text.remove_prefix(std::min(text.size(), end + 1));
  }
  return limits;
}

}  // namespace

Limits default_limits() { return parse_over({}, default_limits_text(), "built-in limits"); }

Limits parse_limits(std::string_view text, const std::string& file) {
  return parse_over(default_limits(), text, file);
}

std::vector<LimitLine> limit_lines(const Limits& limits) {
  std::vector<LimitLine> lines;
  for (const Entry& entry : entries) lines.push_back({entry.name, entry.unit, limits.*entry.value});
  return lines;
}

}  // namespace paneproof
