// Reading (pdf_file.hpp): the file is taken apart from its first byte to its last, and every byte must be
// where the writer would have put it.
#include <zlib.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdio>
#include <cstring>

#include "analyzer/evidence/pdf_file.hpp"
#include "analyzer/evidence/pdf_parts.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

[[noreturn]] void refuse(const std::string& expected) { throw InputError("", "layout", expected, ""); }

// What makes a file act, ask, hide or reach outside (ISO 32000-1, 12.5 to 12.7, 8.11, 7.6, 7.5.7, 7.5.8).
constexpr std::array<std::string_view, 49> forbidden = {
    "JavaScript", "JS",           "AA",         "A",         "OpenAction", "Launch",       "URI",
    "SubmitForm", "ResetForm",    "ImportData", "GoToR",     "GoToE",      "GoTo",         "Named",
    "AcroForm",   "XFA",          "Fields",     "Widget",    "Annot",      "Annots",       "Link",
    "Popup",      "OCProperties", "OCG",        "OCMD",      "OC",         "RichMedia",    "Movie",
    "Sound",      "Screen",       "3D",         "Rendition", "Renditions", "Encrypt",      "ObjStm",
    "XRef",       "XRefStm",      "Perms",      "Sig",       "DSS",        "Collection",   "URLS",
    "IDS",        "Extensions",   "FS",         "RF",        "FFilter",    "FDecodeParms", "Requirements"};

void refuse_forbidden(const PdfValue& value) {
  const auto check = [](const std::string& name) {
    if (std::find(forbidden.begin(), forbidden.end(), name) != forbidden.end())
      refuse("expected no scripts, forms, layers or links, but found /" + name);
  };
  if (value.kind == PdfValue::Kind::name) check(value.text);
  for (const PdfValue& item : value.items) refuse_forbidden(item);
  for (const auto& [key, item] : value.members) check(key), refuse_forbidden(item);
}

std::size_t whole(const PdfValue* value) {
  std::size_t number = 0;
  if (!value || value->kind != PdfValue::Kind::number) return SIZE_MAX;
  const auto [end, error] =
      std::from_chars(value->text.data(), value->text.data() + value->text.size(), number);
  return error == std::errc() && end == value->text.data() + value->text.size() ? number : SIZE_MAX;
}

class Taker {
 public:
  explicit Taker(std::string_view bytes) : bytes_(bytes) {}

  PdfLayout layout() {
    expect(pdf_header, "expected %PDF-1.7 at byte 0");
    std::string table;
    while (bytes_.substr(at_, 5) != "xref\n") {
      char line[32];
      std::snprintf(line, sizeof line, "%010zu 00000 n \n", at_);
      table += line;
      take_object();
    }
    take_tail(table);
    for (const auto& [number, object] : layout_.objects) refuse_forbidden(object.value);
    take_attachments();
    return std::move(layout_);
  }

 private:
  void expect(std::string_view text, const char* expected) {
    if (bytes_.substr(std::min(at_, bytes_.size()), text.size()) != text) refuse(expected);
    at_ += text.size();
  }

  void take_object() {
    const std::size_t begin = at_, number = layout_.objects.size() + 1;
    expect(std::to_string(number) + " 0 obj\n", "expected objects in order, one revision");
    PdfObject object{read_pdf_value(bytes_, at_), false, {}};
    expect("\n", "expected a line end after an object's value");
    if (bytes_.substr(at_, 7) == "stream\n") {
      const std::size_t length = whole(object.value.find("Length"));
      if (length > bytes_.size() - at_) refuse("expected streams of the length they tell");
      object.has_stream = true;
      object.stream = bytes_.substr(at_ + 7, length);
      at_ += 7 + length;
      expect("\nendstream\n", "expected streams of the length they tell");
    }
    expect("endobj\n", "expected an object to end");
    if (pdf_text(number, object) != bytes_.substr(begin, at_ - begin))
      refuse("expected objects in the one spelling of this profile");
    layout_.objects[number] = std::move(object);
  }

  void take_tail(const std::string& table) {
    const std::size_t table_at = at_;
    const std::size_t trailer = bytes_.find("trailer\n", at_);
    if (trailer == bytes_.npos) refuse("expected one trailer");
    std::size_t at = trailer + 8;
    const PdfValue value = read_pdf_value(bytes_, at);
    const PdfValue *root = value.find("Root"), *info = value.find("Info"), *id = value.find("ID");
    if (!root || !info || !id || id->items.size() != 2) refuse("expected a trailer of this profile");
    root_ = root->target();
    info_ = info->target();
    if (bytes_.substr(table_at) !=
        pdf_tail(table_at, layout_.objects.size(), table, root_, info_, id->items[0].text))
      refuse("expected one table, one trailer and nothing after the end");
  }

  const PdfValue& object(const PdfValue& reference) const {
    const auto found = layout_.objects.find(reference.target());
    if (found == layout_.objects.end()) refuse("expected references to objects that are there");
    return found->second.value;
  }

  void take_attachments() {
    const auto catalog = layout_.objects.find(root_);
    if (catalog == layout_.objects.end()) refuse("expected a catalog");
    for (const auto& [key, value] : catalog->second.value.members)
      if (!catalog_keys(key)) refuse("expected a catalog of this profile, but found /" + key);
    const PdfValue *linked = catalog->second.value.find("AF"), *names = catalog->second.value.find("Names");
    const PdfValue* tree = names && names->members.size() == 1 ? names->find("EmbeddedFiles") : nullptr;
    const PdfValue* pairs = tree && tree->members.size() == 1 ? tree->find("Names") : nullptr;
    if (!linked || !pairs || pairs->items.size() != 2 * linked->items.size() || linked->items.empty())
      refuse("expected a list of attachments");
    std::size_t files = 0;
    for (const auto& [number, each] : layout_.objects)
      if (const PdfValue* type = each.value.find("Type");
          type && (type->is_name("EmbeddedFile") || type->is_name("Filespec")))
        ++files;
    if (files != 2 * linked->items.size()) refuse("expected the attachments of the list and no more");
    for (const PdfValue& reference : linked->items) take_attachment(reference);
    for (std::size_t i = 0; i + 1 < pairs->items.size(); i += 2) {
      const PdfValue* name = object(pairs->items[i + 1]).find("F");
      if (!name || name->text != pairs->items[i].text ||
          (i && pairs->items[i].text <= pairs->items[i - 2].text))
        refuse("expected attachments under their names");
    }
    const auto& last = layout_.attachments.back();
    if (last.name != statement_name || last.packed)
      refuse("expected statement.jws as the last attachment, unpacked");
    layout_.slot_at = static_cast<std::size_t>(last.stored.data() - bytes_.data());
    layout_.slot_size = last.stored.size();
  }

  static bool catalog_keys(std::string_view key) {
    for (const char* known :
         {"Type", "Pages", "Outlines", "PageMode", "PageLabels", "StructTreeRoot", "MarkInfo", "Lang",
          "ViewerPreferences", "Metadata", "AF", "Names", "OutputIntents"})
      if (key == known) return true;
    return false;
  }

  void take_attachment(const PdfValue& reference) {
    const PdfValue& spec = object(reference);
    const PdfValue *name = spec.find("F"), *there = spec.find("EF");
    const PdfValue* file = there ? there->find("F") : nullptr;
    if (!name || !file || !file->target()) refuse("expected a file in an attachment");
    const auto found = layout_.objects.find(file->target());
    if (found == layout_.objects.end() || !found->second.has_stream)
      refuse("expected a file in an attachment");
    const PdfValue& stream = found->second.value;
    const PdfValue* params = stream.find("Params");
    const bool packed = stream.find("Filter") != nullptr;
    for (const auto& each : layout_.attachments)
      if (each.name == name->text || each.stored.data() == found->second.stream.data())
        refuse("expected every attachment once");
    if (spec.members.size() != 6 || !spec.find("UF") || spec.find("UF")->text != name->text ||
        there->members.size() != 2 || !there->find("UF") || there->find("UF")->target() != file->target() ||
        !params || params->members.size() != 2 || stream.members.size() != (packed ? 5u : 4u) ||
        (packed && !stream.find("Filter")->is_name("FlateDecode")) ||
        whole(params->find("Size")) == SIZE_MAX ||
        (!packed && whole(params->find("Size")) != found->second.stream.size()))
      refuse("expected attachments of this profile: no checksum, no second copy");
    layout_.attachments.push_back({name->text, found->second.stream, packed});
  }

  std::string_view bytes_;
  std::size_t at_ = 0, root_ = 0, info_ = 0;
  PdfLayout layout_;
};

}  // namespace

bool may_be_evidence(std::string_view bytes) {
  return bytes.substr(0, 100).find(pdf_mark.substr(0, 30)) != bytes.npos ||
         bytes.find("statement.jws") != bytes.npos || bytes.find("Drag sweep of a touch panel") != bytes.npos;
}

PdfLayout read_layout(std::string_view bytes) { return Taker(bytes).layout(); }

std::string unpacked(const PdfLayout::Attachment& attachment, std::size_t size) {
  if (!attachment.packed) {
    if (attachment.stored.size() != size)
      refuse("expected " + attachment.name + " to be of the size that the statement tells");
    return std::string(attachment.stored);
  }
  std::string bytes(size + 1, '\0');  // one more: a longer stream shows itself
  z_stream stream{};
  if (inflateInit(&stream) != Z_OK) throw std::bad_alloc();
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(attachment.stored.data()));
  stream.avail_in = static_cast<uInt>(attachment.stored.size());
  stream.next_out = reinterpret_cast<Bytef*>(bytes.data());
  stream.avail_out = static_cast<uInt>(bytes.size());
  const int status = inflate(&stream, Z_FINISH);
  const bool whole_stream = status == Z_STREAM_END && stream.total_out == size && stream.avail_in == 0;
  inflateEnd(&stream);
  if (!whole_stream)
    refuse("expected " + attachment.name + " to unpack to the size that the statement tells");
  bytes.resize(size);
  return bytes;
}

}  // namespace paneproof
