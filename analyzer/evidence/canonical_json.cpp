#include "analyzer/evidence/canonical_json.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Json = nlohmann::json;
constexpr int deepest = 64;
constexpr std::int64_t largest_whole = std::int64_t{1} << 53;

[[noreturn]] void refuse(const std::string& file, const std::string& expected) {
  throw InputError(file, "", expected, "");
}

// UTF-16 code units of valid UTF-8: their order is that of the keys (RFC 8785, 3.2.3).
std::u16string utf16(const std::string& text) {
  std::u16string units;
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead < 0x80 ? 1 : lead < 0xe0 ? 2 : lead < 0xf0 ? 3 : 4;
    char32_t point = length == 1 ? lead : lead & (0xffu >> (length + 1));
    for (std::size_t k = 1; k < length && i + k < text.size(); ++k)
      point = point << 6 | (static_cast<unsigned char>(text[i + k]) & 0x3f);
    i += length;
    if (point < 0x10000) {
      units += static_cast<char16_t>(point);
    } else {
      units += static_cast<char16_t>(0xd800 + ((point - 0x10000) >> 10));
      units += static_cast<char16_t>(0xdc00 + ((point - 0x10000) & 0x3ff));
    }
  }
  return units;
}

// nlohmann escapes what RFC 8785 escapes, the same way, and throws for what is not UTF-8.
std::string escaped(const Json& text) { return text.dump(-1, ' ', false, Json::error_handler_t::strict); }

void write(std::string& out, const Json& value, int depth) {
  if (depth > deepest) refuse("", "expected JSON at most 64 deep");
  if (value.is_object()) {
    std::vector<std::pair<std::u16string, std::string>> keys;
    for (const auto& [key, unused] : value.items()) keys.emplace_back(utf16(key), key);
    std::sort(keys.begin(), keys.end());
    out += '{';
    for (std::size_t i = 0; i < keys.size(); ++i) {
      out += (i ? "," : "") + escaped(keys[i].second) + ":";
      write(out, value.at(keys[i].second), depth + 1);
    }
    out += '}';
  } else if (value.is_array()) {
    out += '[';
    for (std::size_t i = 0; i < value.size(); ++i) {
      if (i) out += ',';
      write(out, value[i], depth + 1);
    }
    out += ']';
  } else if (value.is_number_float()) {
    out += canonical_number(value.get<double>());
  } else if (value.is_number_unsigned()) {
    if (value.get<std::uint64_t>() > static_cast<std::uint64_t>(largest_whole))
      refuse("", "expected whole numbers up to 2^53");
    out += std::to_string(value.get<std::uint64_t>());
  } else if (value.is_number_integer()) {
    if (value.get<std::int64_t>() < -largest_whole) refuse("", "expected whole numbers down to -2^53");
    out += std::to_string(value.get<std::int64_t>());
  } else {
    out += escaped(value);
  }
}

}  // namespace

std::string canonical_number(double value) {
  if (!std::isfinite(value)) refuse("", "expected a finite number");
  if (value == 0) return "0";
  char text[40];
  const auto end =
      std::to_chars(text, text + sizeof text, std::abs(value), std::chars_format::scientific).ptr;
  const std::string shortest(text, end);
  const std::size_t mark = shortest.find('e');
  std::string digits = shortest.substr(0, 1) + (mark > 2 ? shortest.substr(2, mark - 2) : "");
  const int point = std::stoi(shortest.substr(mark + 1)) + 1;  // digits before the decimal point
  const int count = static_cast<int>(digits.size());
  std::string out = value < 0 ? "-" : "";
  if (count <= point && point <= 21) {
    out += digits + std::string(static_cast<std::size_t>(point - count), '0');
  } else if (0 < point && point <= 21) {
    out += digits.insert(static_cast<std::size_t>(point), ".");
  } else if (-6 < point && point <= 0) {
    out += "0." + std::string(static_cast<std::size_t>(-point), '0') + digits;
  } else {
    const int exponent = point - 1;
    out += digits.substr(0, 1) + (count > 1 ? "." + digits.substr(1) : "");
    out += std::string("e") + (exponent < 0 ? "-" : "+") + std::to_string(std::abs(exponent));
  }
  return out;
}

std::string canonical_json(const Json& value) {
  std::string out;
  try {
    write(out, value, 0);
  } catch (const Json::exception&) {
    refuse("", "expected text in UTF-8");
  }
  return out;
}

Json strict_json(std::string_view text, const std::string& file) {
  std::vector<std::set<std::string>> open;
  bool twice = false, deep = false;
  const auto watch = [&](int depth, Json::parse_event_t event, Json& parsed) {
    if (depth > deepest) deep = true;
    if (event == Json::parse_event_t::object_start) open.emplace_back();
    if (event == Json::parse_event_t::object_end && !open.empty()) open.pop_back();
    if (event == Json::parse_event_t::key && !open.empty())
      twice |= !open.back().insert(parsed.get<std::string>()).second;
    return true;
  };
  Json value;
  try {
    value = Json::parse(text, watch);
  } catch (const Json::exception&) {
    refuse(file, "expected JSON");
  }
  if (twice) refuse(file, "expected every key once in an object");
  if (deep) refuse(file, "expected JSON at most 64 deep");
  return value;
}

Json canonical_only(std::string_view text, const std::string& file) {
  Json value = strict_json(text, file);
  if (canonical_json(value) != text) refuse(file, "expected JSON in its canonical form (RFC 8785)");
  return value;
}

}  // namespace paneproof
