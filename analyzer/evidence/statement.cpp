#include "analyzer/evidence/statement.hpp"

#include <algorithm>
#include <ctime>

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Json = nlohmann::json;

Json parts_json(const std::vector<PartFacts>& parts) {
  Json list = Json::array();
  for (const PartFacts& part : parts)
    list.push_back({{"name", part.name}, {"sha256", part.sha256}, {"size", part.size}});
  return list;
}

Json cuts_json(const std::vector<CutFacts>& cuts) {
  Json list = Json::array();
  for (const CutFacts& cut : cuts)
    list.push_back({{"part", cut.part},
                    {"chosen_by", cut.chosen_by},
                    {"lines_before", cut.lines_before},
                    {"lines_after", cut.lines_after}});
  return list;
}

Json checks_json(const std::vector<std::pair<std::string, std::string>>& checks) {
  Json list = Json::array();
  for (const auto& [name, state] : checks) list.push_back({{"name", name}, {"state", state}});
  return list;
}

Statement taken(const Json& json) {
  Statement s;
  s.job = json.at("job");
  s.stage = json.at("stage");
  s.verdict = json.at("verdict");
  s.version = json.at("version");
  s.stated_time = json.at("stated_time");
  s.device_id = json.at("device_id");
  s.part_lot = json.at("part_lot");
  s.by = json.at("by");
  s.paper = json.at("paper");
  s.origin = json.at("origin");
  for (const Json& check : json.at("bench_checks"))
    s.bench_checks.emplace_back(check.at("name"), check.at("state"));
  s.question = question_of(json.at("options"));
  for (const Json& cut : json.at("cuts"))
    s.cuts.push_back({cut.at("part"), cut.at("chosen_by"), cut.at("lines_before"), cut.at("lines_after")});
  for (const Json& part : json.at("parts"))
    s.parts.push_back({part.at("name"), part.at("sha256"), part.at("size")});
  s.pdf_sha256 = json.at("pdf_sha256");
  s.before = {json.at("ledger").at("id"), json.at("ledger").at("size"), json.at("ledger").at("root")};
  s.nonce = json.at("nonce");
  s.judge = json.at("judge");
  s.drawn_with = json.at("drawn_with").get<std::vector<std::string>>();
  s.key = json.at("key");
  return s;
}

bool is_digest(const std::string& text, std::size_t digits = 64) {
  return text.size() == digits && from_hex(text).has_value();
}

bool sound(const Statement& s) {
  const auto one_of = [](const std::string& word, std::initializer_list<const char*> words) {
    return std::any_of(words.begin(), words.end(), [&](const char* w) { return word == w; });
  };
  bool good = one_of(s.stage, {"intake", "open", "closed", "return"}) &&
              one_of(s.verdict, {"pass", "fail", "resweep"}) && one_of(s.paper, {"a4", "letter"}) &&
              one_of(s.origin, {"handed in", "live", "recording"}) && is_digest(s.pdf_sha256) &&
              is_digest(s.before.ledger, 32) && is_digest(s.before.root) && s.parts.size() <= 66;
  const auto nonce = from_base64url(s.nonce);
  good = good && nonce && nonce->size() == 32;
  for (const PartFacts& part : s.parts) good = good && is_digest(part.sha256) && part.size >= 0;
  return good;
}

bool refused_character(char32_t c) {
  return c < 0x20 || (c >= 0x7f && c < 0xa0) || c == 0x061c || (c >= 0x200b && c <= 0x200f) ||
         (c >= 0x2028 && c <= 0x202e) || (c >= 0x2060 && c <= 0x206f) || c == 0xfeff ||
         (c >= 0xfff9 && c <= 0xffff) || (c >= 0xe0000 && c <= 0xe007f) || (c >= 0xe000 && c <= 0xf8ff) ||
         (c & 0xfffe) == 0xfffe;
}

// Valid UTF-8 (no overlong forms, no surrogates) without refused characters.
bool plain(const std::string& text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead < 0x80                   ? 1
                               : lead >= 0xc2 && lead < 0xe0 ? 2
                               : lead >= 0xe0 && lead < 0xf0 ? 3
                               : lead >= 0xf0 && lead < 0xf5 ? 4
                                                             : 0;
    if (length == 0 || i + length > text.size()) return false;
    char32_t point = length == 1 ? lead : lead & (0xffu >> (length + 1));
    for (std::size_t k = 1; k < length; ++k) {
      if ((static_cast<unsigned char>(text[i + k]) & 0xc0) != 0x80) return false;
      point = point << 6 | (static_cast<unsigned char>(text[i + k]) & 0x3f);
    }
    const bool overlong = (length == 3 && point < 0x800) || (length == 4 && point < 0x10000);
    if (overlong || (point >= 0xd800 && point < 0xe000) || point > 0x10ffff || refused_character(point))
      return false;
    i += length;
  }
  return true;
}

}  // namespace

Json statement_json(const Statement& s) {
  return {{"job", s.job},
          {"stage", s.stage},
          {"verdict", s.verdict},
          {"version", s.version},
          {"stated_time", s.stated_time},
          {"device_id", s.device_id},
          {"part_lot", s.part_lot},
          {"by", s.by},
          {"paper", s.paper},
          {"origin", s.origin},
          {"bench_checks", checks_json(s.bench_checks)},
          {"options", question_json(s.question)},
          {"cuts", cuts_json(s.cuts)},
          {"parts", parts_json(s.parts)},
          {"pdf_sha256", s.pdf_sha256},
          {"ledger", {{"id", s.before.ledger}, {"size", s.before.size}, {"root", s.before.root}}},
          {"nonce", s.nonce},
          {"judge", s.judge},
          {"drawn_with", s.drawn_with},
          {"key", s.key}};
}

Statement statement_of(const Json& json, const std::string& file) {
  const auto refuse = [&]() -> void {
    throw InputError(file, "statement", "expected exactly the members of a statement", "");
  };
  Statement statement;
  try {
    statement = taken(json);
    for (const auto& name : {statement.job, statement.device_id, statement.part_lot, statement.by})
      if (!name.empty()) check_name("statement", name);
    for (const auto& [name, state] : statement.bench_checks)
      check_name("bench check", name), check_name("bench check", state);
  } catch (const Json::exception&) {
    refuse();
  } catch (const InputError& error) {
    throw InputError(file, "statement", error.expected, "");
  }
  if (!sound(statement) || canonical_json(statement_json(statement)) != canonical_json(json)) refuse();
  return statement;
}

void check_name(const std::string& option, const std::string& text, std::size_t longest) {
  const bool bare = text.empty() || text.front() == ' ' || text.back() == ' ';
  if (bare || text.size() > longest || !plain(text))
    throw InputError("", option + " " + printable(text, 60),
                     "expected 1 to " + std::to_string(longest) +
                         " bytes of UTF-8 without control or direction characters or outer blanks",
                     "type it anew", Exit::usage);
}

std::string time_now() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  ::localtime_r(&now, &local);
  char text[40];
  std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%S", &local);
  const long minutes = std::labs(local.tm_gmtoff) / 60;
  char zone[24];
  std::snprintf(zone, sizeof zone, "%c%02ld:%02ld", local.tm_gmtoff < 0 ? '-' : '+', minutes / 60 % 24,
                minutes % 60);
  return std::string(text) + zone;
}

}  // namespace paneproof
