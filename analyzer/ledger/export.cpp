#include "analyzer/ledger/export.hpp"

#include "analyzer/evidence/canonical_json.hpp"

namespace paneproof {
namespace {

using Json = nlohmann::json;

std::string cell(std::string text) {
  if (!text.empty() && std::string_view("=+-@\t\r\n").find(text[0]) != std::string_view::npos)
    text.insert(0, 1, '\'');
  if (text.find_first_of(",\"\r\n;\t") == text.npos) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? "\"\"" : std::string(1, c);
  return quoted + "\"";
}

std::string member(const Json& json, const char* name) {
  return json.is_object() && json.contains(name) && json[name].is_string() ? json[name].get<std::string>()
                                                                           : "";
}

Json personal_of(const Entry& entry, const Ledger& ledger) {
  Json plain = Json::object();
  if (entry.personal.empty()) return plain;
  const Json words = strict_json(entry.personal, ledger.file());
  for (const auto& [field, word] : words.items()) plain[field] = member(word, "value");
  return plain;
}

}  // namespace

std::string ledger_csv(const Ledger& ledger) {
  std::string out = "entry,kind,stated_time,job,stage,verdict,device_id,part_lot,by,check,state,version\r\n";
  for (const Entry& entry : ledger.entries()) {
    const Json leaf = strict_json(entry.leaf, ledger.file()), personal = personal_of(entry, ledger);
    out += std::to_string(entry.number);
    for (const char* name : {"kind", "stated_time", "job", "stage", "verdict"})
      out += "," + cell(member(leaf, name));
    for (const char* name : {"device_id", "part_lot", "by"}) out += "," + cell(member(personal, name));
    for (const char* name : {"name", "state", "version"}) out += "," + cell(member(leaf, name));
    out += "\r\n";
  }
  return out;
}

std::string ledger_json(const Ledger& ledger) {
  std::string out = "[";
  for (const Entry& entry : ledger.entries())
    out += (entry.number ? ",\n" : "\n") + canonical_json({{"entry", entry.number},
                                                           {"leaf", strict_json(entry.leaf, ledger.file())},
                                                           {"personal", personal_of(entry, ledger)}});
  return out + "\n]\n";
}

}  // namespace paneproof
