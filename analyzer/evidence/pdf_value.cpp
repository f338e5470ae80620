#include "analyzer/evidence/pdf_value.hpp"

#include <algorithm>
#include <charconv>

#include "analyzer/evidence/base64url.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr int deepest = 32;
constexpr std::string_view blanks = std::string_view("\0\t\n\f\r ", 6);
constexpr std::string_view delimiters = "()<>[]{}/%";

[[noreturn]] void refuse(std::size_t at, const char* expected) {
  throw InputError("", "byte " + std::to_string(at), expected, "");
}

class Reader {
 public:
  Reader(std::string_view bytes, std::size_t& at) : bytes_(bytes), at_(at) {}

  PdfValue value(int depth = 0) {
    if (depth > deepest) refuse(at_, "expected values at most 32 deep");
    skip_blanks();
    if (at_ >= bytes_.size()) refuse(at_, "expected a value");
    const char c = bytes_[at_];
    if (c == '/') return PdfValue::name_of(name());
    if (c == '(') return {PdfValue::Kind::text, text(), {}, {}};
    if (c == '[') return list(depth);
    if (c == '<')
      return bytes_.substr(at_, 2) == "<<" ? dictionary(depth)
                                           : PdfValue{PdfValue::Kind::hex, hex_digits(), {}, {}};
    const std::string word = token();
    if (word == "null") return {};
    if (word == "true" || word == "false") return {PdfValue::Kind::truth, word, {}, {}};
    return number_or_reference(word);
  }

 private:
  // And comments, which Cairo writes; the profile's own spelling has none.
  void skip_blanks() {
    for (;; ++at_) {
      if (bytes_.substr(std::min(at_, bytes_.size()), 1) == "%")
        at_ = std::min(bytes_.find('\n', at_), bytes_.size());
      if (at_ >= bytes_.size() || blanks.find(bytes_[at_]) == blanks.npos) return;
    }
  }
  std::string token() {
    const std::size_t from = at_;
    while (at_ < bytes_.size() && blanks.find(bytes_[at_]) == blanks.npos &&
           delimiters.find(bytes_[at_]) == delimiters.npos)
      ++at_;
    return std::string(bytes_.substr(from, at_ - from));
  }
  // Written without escapes but "#2F" and "#20", so that each name has one spelling.
  std::string name() {
    ++at_;
    std::string word = token();
    if (word.empty()) refuse(at_, "expected a name");
    for (std::size_t i = word.find('#'); i != word.npos; i = word.find('#', i + 1))
      if (word.compare(i, 3, "#2F") != 0 && word.compare(i, 3, "#20") != 0)
        refuse(at_, "expected a name in plain letters");
    return word;
  }
  std::string text() {
    const std::size_t from = ++at_;
    for (int open = 1; open > 0; ++at_) {
      if (at_ >= bytes_.size()) refuse(from, "expected a string that ends");
      if (bytes_[at_] == '\\')
        ++at_;
      else if (bytes_[at_] == '(')
        ++open;
      else if (bytes_[at_] == ')')
        --open;
    }
    return std::string(bytes_.substr(from, at_ - 1 - from));
  }
  std::string hex_digits() {
    const std::size_t from = ++at_;
    while (at_ < bytes_.size() && std::isxdigit(static_cast<unsigned char>(bytes_[at_]))) ++at_;
    if (at_ >= bytes_.size() || bytes_[at_] != '>') refuse(from, "expected hexadecimal digits");
    return std::string(bytes_.substr(from, at_++ - from));
  }
  PdfValue list(int depth) {
    PdfValue all{PdfValue::Kind::list, "", {}, {}};
    for (++at_; skip_blanks(), at_ < bytes_.size() && bytes_[at_] != ']';)
      all.items.push_back(value(depth + 1));
    if (at_++ >= bytes_.size()) refuse(at_, "expected a list that ends");
    return all;
  }
  PdfValue dictionary(int depth) {
    PdfValue all{PdfValue::Kind::dictionary, "", {}, {}};
    for (at_ += 2; skip_blanks(), at_ < bytes_.size() && bytes_[at_] == '/';) {
      std::string key = name();
      if (all.find(key)) refuse(at_, "expected every key once in a dictionary");
      all.members.emplace_back(std::move(key), value(depth + 1));
    }
    if (bytes_.substr(std::min(at_, bytes_.size()), 2) != ">>")
      refuse(at_, "expected a dictionary that ends");
    at_ += 2;
    return all;
  }
  PdfValue number_or_reference(const std::string& word) {
    if (word.empty() || word.find_first_not_of("0123456789.+-") != word.npos) refuse(at_, "expected a value");
    if (word.find_first_not_of("0123456789") == word.npos && bytes_.substr(at_, 4) == " 0 R") {
      at_ += 4;
      return {PdfValue::Kind::reference, word, {}, {}};
    }
    return {PdfValue::Kind::number, word, {}, {}};
  }

  std::string_view bytes_;
  std::size_t& at_;
};

}  // namespace

PdfValue PdfValue::words(std::string_view utf8) {
  std::string units = "feff";
  const auto put = [&](unsigned unit) {
    units += hex(std::string{static_cast<char>(unit >> 8), static_cast<char>(unit & 255)});
  };
  for (std::size_t i = 0; i < utf8.size();) {
    const auto lead = static_cast<unsigned char>(utf8[i]);
    const std::size_t length = lead < 0x80 ? 1 : lead < 0xe0 ? 2 : lead < 0xf0 ? 3 : 4;
    unsigned point = length == 1 ? lead : lead & (0xffu >> (length + 1));
    for (std::size_t k = 1; k < length && i + k < utf8.size(); ++k)
      point = point << 6 | (static_cast<unsigned char>(utf8[i + k]) & 0x3f);
    i += length;
    if (point < 0x10000)
      put(point);
    else
      put(0xd800 + ((point - 0x10000) >> 10)), put(0xdc00 + ((point - 0x10000) & 0x3ff));
  }
  return {Kind::hex, units, {}, {}};
}

const PdfValue* PdfValue::find(std::string_view key) const {
  for (const auto& [name, value] : members)
    if (name == key) return &value;
  return nullptr;
}

void PdfValue::set(const std::string& key, PdfValue value) {
  remove(key);
  members.emplace_back(key, std::move(value));
}

void PdfValue::remove(std::string_view key) {
  std::erase_if(members, [&](const auto& member) { return member.first == key; });
}

std::size_t PdfValue::target() const {
  std::size_t number = 0;
  if (kind == Kind::reference) std::from_chars(text.data(), text.data() + text.size(), number);
  return number;
}

PdfValue read_pdf_value(std::string_view bytes, std::size_t& at) { return Reader(bytes, at).value(); }

std::string pdf_text(const PdfValue& value) {
  std::string out;
  switch (value.kind) {
    case PdfValue::Kind::null:
      return "null";
    case PdfValue::Kind::truth:
    case PdfValue::Kind::number:
      return value.text;
    case PdfValue::Kind::name:
      return "/" + value.text;
    case PdfValue::Kind::text:
      return "(" + value.text + ")";
    case PdfValue::Kind::hex:
      return "<" + value.text + ">";
    case PdfValue::Kind::reference:
      return value.text + " 0 R";
    case PdfValue::Kind::list:
      for (const PdfValue& item : value.items) out += (out.empty() ? "[" : " ") + pdf_text(item);
      return out.empty() ? "[]" : out + "]";
    case PdfValue::Kind::dictionary:
      for (const auto& [key, item] : value.members) out += " /" + key + " " + pdf_text(item);
      return "<<" + out + " >>";
  }
  return out;
}

std::string pdf_text(std::size_t number, const PdfObject& object) {
  std::string out = std::to_string(number) + " 0 obj\n" + pdf_text(object.value) + "\n";
  if (object.has_stream) (out += "stream\n").append(object.stream) += "\nendstream\n";
  return out + "endobj\n";
}

}  // namespace paneproof
