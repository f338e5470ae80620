#include "capture/log/ink_channels.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace paneproof {
namespace {

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

// One value of a point as it stands in the text.
struct Value {
  char prefix = 0;  // ' " * ? or 0; an explicit ! is 0 too
  bool is_boolean = false;
  double number = 0;
};

// Takes a value off the front of `text`; false when none stands there.
bool take_value(std::string_view& text, Value& value) {
  const auto skip = [&] {
    while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  };
  value = {};
  skip();
  if (text.empty()) return false;
  if (text.front() == '*' || text.front() == '?') {
    value.prefix = text.front();
    text.remove_prefix(1);
    return true;
  }
  if (text.front() == 'T' || text.front() == 'F') {
    value.is_boolean = true;
    value.number = text.front() == 'T';
    text.remove_prefix(1);
    return true;
  }
  if (text.front() == '!' || text.front() == '\'' || text.front() == '"') {
    value.prefix = text.front() == '!' ? 0 : text.front();
    text.remove_prefix(1);
    skip();
  }
  const bool negative = !text.empty() && text.front() == '-';
  if (negative) text.remove_prefix(1);
  skip();
  if (text.empty() || text.front() == '-') return false;
  std::from_chars_result got{};
  if (text.front() == '#') {
    long long hex = 0;
    got = std::from_chars(text.data() + 1, text.data() + text.size(), hex, 16);
    value.number = static_cast<double>(hex);
  } else {
    got = std::from_chars(text.data(), text.data() + text.size(), value.number);
  }
  if (got.ec != std::errc() || !std::isfinite(value.number)) return false;
  text.remove_prefix(static_cast<std::size_t>(got.ptr - text.data()));
  if (negative) value.number = -value.number;
  return true;
}

std::optional<Axis> axis_of(const InkChannel& channel) {
  if (!channel.min || !channel.max || !(*channel.max > *channel.min)) return std::nullopt;
  Axis axis{*channel.min, *channel.max, channel.units_per_mm};
  const auto mm = mm_per(channel.units);
  if (mm) axis.units_per_mm = 1 / *mm;
  return axis;
}

}  // namespace

const InkChannel* InkFormat::find(std::string_view name) const {
  const auto found =
      std::find_if(channels.begin(), channels.end(), [&](const InkChannel& c) { return c.name == name; });
  return found == channels.end() ? nullptr : &*found;
}

std::optional<double> mm_per(std::string_view unit) {
  if (unit == "mm") return 1;
  if (unit == "cm") return 10;
  if (unit == "m") return 1000;
  if (unit == "in") return 25.4;
  if (unit == "pt") return 25.4 / 72;
  if (unit == "pc") return 25.4 / 6;
  return std::nullopt;
}

std::optional<double> us_per(std::string_view unit) {
  if (unit == "ms") return 1e3;
  if (unit == "s") return 1e6;
  return std::nullopt;
}

Axes ink_axes(const InkFormat& format) {
  Axes axes;
  const InkChannel& x = *format.find("X");
  const InkChannel& y = *format.find("Y");
  axes.x = axis_of(x);
  axes.y = axis_of(y);
  if (axes.x && axes.y) {
    axes.square_units = axes.x->units_per_mm && axes.x->units_per_mm == axes.y->units_per_mm;
  } else {
    axes.in_mm = mm_per(x.units) && mm_per(y.units);
    if (axes.in_mm) axes.x = axes.y = std::nullopt;
  }
  if (axes.x || axes.y || axes.in_mm) axes.origin = "log";
  return axes;
}

std::string read_ink_point(std::string_view text, const InkFormat& format, bool first, InkPoint& last) {
  bool x = false, y = false, t = false;
  std::size_t index = 0;
  for (Value value; index < format.channels.size() && take_value(text, value); ++index) {
    const std::string& name = format.channels[index].name;
    const bool is_x = name == "X", is_y = name == "Y", is_t = name == "T";
    if (name == "S" && value.prefix == 0) last.tip = value.number != 0;
    if (!is_x && !is_y && !is_t) continue;
    if (value.prefix == '\'' || value.prefix == '"')
      return "explicit values on " + name + ", not differences (" + value.prefix + ")";
    if (value.prefix == '?' || (value.prefix == '*' && first)) return "a known value on " + name;
    if (value.is_boolean) return "a number on " + name;
    if (value.prefix != '*') (is_x ? last.x : is_y ? last.y : last.t) = value.number;
    (is_x ? x : is_y ? y : t) = true;
  }
  const bool rest = std::any_of(text.begin(), text.end(), [](char c) { return !is_blank(c); });
  if (rest || index < format.regular) return std::to_string(format.regular) + " values, one a channel";
  return x && y && t ? "" : "X, Y and T in every point";
}

}  // namespace paneproof
