// The few kinds of values that a PDF file is made of (ISO 32000-1, 7.3), read strictly and written back.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace paneproof {

struct PdfValue {
  enum class Kind : std::uint8_t {
    null,
    truth,
    number,
    name,
    text,
    hex,
    reference,
    list,
    dictionary
  } kind = Kind::null;
  std::string text;  // as written: a number, a name without its slash, a string without its brackets
  std::vector<PdfValue> items;
  std::vector<std::pair<std::string, PdfValue>> members;  // in the file's order

  static PdfValue name_of(std::string name) { return {Kind::name, std::move(name), {}, {}}; }
  static PdfValue number_of(std::uint64_t value) { return {Kind::number, std::to_string(value), {}, {}}; }
  static PdfValue reference_to(std::size_t object) {
    return {Kind::reference, std::to_string(object), {}, {}};
  }
  // Any text, as UTF-16 with its mark (7.9.2.2).
  static PdfValue words(std::string_view utf8);
  static PdfValue list_of(std::vector<PdfValue> items) { return {Kind::list, "", std::move(items), {}}; }
  static PdfValue dictionary_of(std::vector<std::pair<std::string, PdfValue>> members) {
    return {Kind::dictionary, "", {}, std::move(members)};
  }

  const PdfValue* find(std::string_view key) const;  // nullptr when there is none
  void set(const std::string& key, PdfValue value);
  void remove(std::string_view key);
  bool is_name(std::string_view name) const { return kind == Kind::name && text == name; }
  std::size_t target() const;  // of a reference; 0 when it is none
};

struct PdfObject {
  PdfValue value;
  bool has_stream = false;
  std::string_view stream;  // as stored
};

// Reads one value at `at`, which moves past it. Throws InputError (65) at anything but plain PDF: bad
// tokens, a key that comes twice, more than 32 deep.
PdfValue read_pdf_value(std::string_view bytes, std::size_t& at);

std::string pdf_text(const PdfValue& value);
// "N 0 obj ... endobj" with its stream.
std::string pdf_text(std::size_t number, const PdfObject& object);

}  // namespace paneproof
