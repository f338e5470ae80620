// Writing (pdf_file.hpp); reading is in pdf_profile.cpp.
#include "analyzer/evidence/pdf_file.hpp"

#include <zlib.h>

#include <algorithm>
#include <charconv>
#include <cstdio>

#include "analyzer/evidence/pdf_parts.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Objects = std::map<std::size_t, PdfObject>;

[[noreturn]] void unknown_drawing() {
  throw InputError("", "", "expected the drawing library to write plain PDF", "", Exit::software);
}

std::size_t number_at(std::string_view bytes, std::size_t& at) {
  std::size_t value = 0;
  while (at < bytes.size() && (bytes[at] == ' ' || bytes[at] == '\n' || bytes[at] == '\r')) ++at;
  const auto [end, error] = std::from_chars(bytes.data() + at, bytes.data() + bytes.size(), value);
  if (error != std::errc()) unknown_drawing();
  at = static_cast<std::size_t>(end - bytes.data());
  return value;
}

std::map<std::size_t, std::size_t> offsets_of(std::string_view drawn) {
  std::size_t at = drawn.rfind("startxref");
  if (at == drawn.npos) unknown_drawing();
  at += 9;
  std::size_t table = number_at(drawn, at);
  if (drawn.substr(table, 4) != "xref") unknown_drawing();
  table += 4;
  if (number_at(drawn, table) != 0) unknown_drawing();
  const std::size_t count = number_at(drawn, table);
  std::map<std::size_t, std::size_t> offsets;
  for (std::size_t number = 0; number < count; ++number) {
    const std::size_t offset = number_at(drawn, table);
    number_at(drawn, table);
    if (drawn.substr(table, 2) == " n") offsets[number] = offset;
    table += 2;
  }
  return offsets;
}

PdfObject object_at(std::string_view drawn, std::size_t at,
                    const std::map<std::size_t, std::size_t>& offsets) {
  number_at(drawn, at);
  number_at(drawn, at);
  at = drawn.find("obj", at) + 3;
  PdfObject object{read_pdf_value(drawn, at), false, {}};
  const std::size_t begin = drawn.find_first_not_of("\r\n ", at);
  if (drawn.substr(begin, 6) != "stream") return object;
  const PdfValue* length = object.value.find("Length");
  if (!length) unknown_drawing();
  std::size_t bytes = 0;
  if (length->target()) {
    std::size_t there = drawn.find("obj", offsets.at(length->target())) + 3;
    bytes = number_at(drawn, there);
  } else {
    std::from_chars(length->text.data(), length->text.data() + length->text.size(), bytes);
  }
  std::size_t data = begin + 6;
  if (drawn[data] == '\r') ++data;
  object.has_stream = true;
  object.stream = drawn.substr(data + 1, bytes);
  object.value.set("Length", PdfValue::number_of(bytes));
  return object;
}

std::string deflated(std::string_view bytes) {
  uLongf length = compressBound(bytes.size());
  std::string packed(length, '\0');
  if (compress2(reinterpret_cast<Bytef*>(packed.data()), &length,
                reinterpret_cast<const Bytef*>(bytes.data()), bytes.size(), 9) != Z_OK)
    throw InputError("", "", "not enough memory to pack the attachments", "", Exit::software);
  packed.resize(length);
  return packed;
}

std::string xml_escaped(std::string_view text) {
  std::string out;
  for (const char c : text)
    out += c == '&' ? "&amp;" : c == '<' ? "&lt;" : c == '>' ? "&gt;" : std::string(1, c);
  return out;
}

std::string metadata(const PdfFacts& facts) {
  return "<?xpacket begin=\"\xEF\xBB\xBF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"
         "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF "
         "xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n"
         "<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" "
         "xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\">\n"
         "<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">" +
         xml_escaped(facts.title) +
         "</rdf:li></rdf:Alt></dc:title>\n"
         "<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">" +
         xml_escaped(facts.subject) +
         "</rdf:li></rdf:Alt></dc:description>\n"
         "<xmp:CreatorTool>paneproof</xmp:CreatorTool>\n"
         "<xmp:CreateDate>" +
         xml_escaped(facts.time) +
         "</xmp:CreateDate>\n"
         "</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>";
}

// D:YYYYMMDDHHmmSS+HH'mm'
std::string pdf_time(const std::string& rfc3339) {
  std::string digits = "D:";
  for (const char c : rfc3339.substr(0, std::min<std::size_t>(19, rfc3339.size())))
    if (c >= '0' && c <= '9') digits += c;
  if (rfc3339.size() != 25) return digits;
  return digits + rfc3339.substr(19, 3) + "'" + rfc3339.substr(23, 2) + "'";
}

class Assembly {
 public:
  Assembly(const std::string& drawn, const PdfFacts& facts) : facts_(facts) {
    const auto offsets = offsets_of(drawn);
    for (const auto& [number, offset] : offsets) objects_[number] = object_at(drawn, offset, offsets);
    for (auto& [number, object] : objects_)
      if (const PdfValue* type = object.value.find("Type"); type && type->is_name("Catalog"))
        catalog_ = number;
    if (catalog_ == 0) unknown_drawing();
    drop_unused();
    describe();
  }

  void attach(const Part& part, bool packed) {
    const std::string small = packed ? deflated(part.bytes) : "";
    const bool pack = packed && small.size() < part.bytes.size();
    held_.push_back(pack ? small : part.bytes);
    PdfValue stream = PdfValue::dictionary_of(
        {{"Type", PdfValue::name_of("EmbeddedFile")},
         {"Subtype", PdfValue::name_of(media_type(part.name))},
         {"Params",
          PdfValue::dictionary_of({{"Size", PdfValue::number_of(part.bytes.size())}, {"ModDate", time()}})},
         {"Length", PdfValue::number_of(held_.back().size())}});
    if (pack) stream.set("Filter", PdfValue::name_of("FlateDecode"));
    const std::size_t file = add(std::move(stream), held_.back());
    const PdfValue name{PdfValue::Kind::text, part.name, {}, {}};
    const PdfValue there =
        PdfValue::dictionary_of({{"F", PdfValue::reference_to(file)}, {"UF", PdfValue::reference_to(file)}});
    specs_.emplace_back(
        part.name,
        add(PdfValue::dictionary_of({{"Type", PdfValue::name_of("Filespec")},
                                     {"F", name},
                                     {"UF", name},
                                     {"Desc", PdfValue::words(part_words(part.name))},
                                     {"AFRelationship", PdfValue::name_of(relationship(part.name))},
                                     {"EF", there}}),
            {}));
    last_stream_ = file;
  }

  PdfFile finish() && {
    std::vector<PdfValue> linked, named;
    for (const auto& [name, number] : specs_) linked.push_back(PdfValue::reference_to(number));
    auto sorted = specs_;
    std::sort(sorted.begin(), sorted.end());  // a name tree is in order (7.9.6)
    for (const auto& [name, number] : sorted) {
      named.push_back({PdfValue::Kind::text, name, {}, {}});
      named.push_back(PdfValue::reference_to(number));
    }
    PdfValue& catalog = objects_.at(catalog_).value;
    catalog.set("AF", PdfValue::list_of(linked));
    catalog.set("Names",
                PdfValue::dictionary_of(
                    {{"EmbeddedFiles", PdfValue::dictionary_of({{"Names", PdfValue::list_of(named)}})}}));
    return written();
  }

 private:
  std::size_t add(PdfValue value, std::string_view stream) {
    const std::size_t number = objects_.rbegin()->first + 1;
    objects_[number] = {std::move(value), !stream.empty(), stream};
    return number;
  }
  PdfValue time() const { return {PdfValue::Kind::text, pdf_time(facts_.time), {}, {}}; }

  // Lengths stand with their streams now, and the document's facts are written anew: what nothing refers
  // to any more goes, and the rest is numbered without gaps.
  void drop_unused() {
    std::map<std::size_t, std::size_t> numbers;
    std::vector<std::size_t> waiting = {catalog_};
    const auto visit = [&](const auto& self, const PdfValue& value) -> void {
      if (const std::size_t to = value.target(); to && numbers.emplace(to, 0).second) waiting.push_back(to);
      for (const PdfValue& item : value.items) self(self, item);
      for (const auto& [key, item] : value.members) self(self, item);
    };
    numbers.emplace(catalog_, 0);
    while (!waiting.empty()) {
      const std::size_t next = waiting.back();
      waiting.pop_back();
      visit(visit, objects_.at(next).value);
    }
    std::size_t count = 0;
    for (auto& [was, now] : numbers) now = ++count;
    const auto renumber = [&](const auto& self, PdfValue& value) -> void {
      if (value.target()) value.text = std::to_string(numbers.at(value.target()));
      for (PdfValue& item : value.items) self(self, item);
      for (auto& [key, item] : value.members) self(self, item);
    };
    Objects kept;
    for (const auto& [was, now] : numbers) {
      kept[now] = objects_.at(was);
      renumber(renumber, kept[now].value);
    }
    catalog_ = numbers.at(catalog_);
    objects_ = std::move(kept);
  }

  void describe() {
    std::size_t figure = 0;
    for (auto& [number, object] : objects_)
      if (const PdfValue* role = object.value.find("S");
          role && role->is_name("Figure") && figure < facts_.figure_words.size())
        object.value.set("Alt", PdfValue::words(facts_.figure_words[figure++]));
    held_.reserve(80);  // views into it are kept
    held_.push_back(metadata(facts_));
    const std::size_t xmp =
        add(PdfValue::dictionary_of({{"Type", PdfValue::name_of("Metadata")},
                                     {"Subtype", PdfValue::name_of("XML")},
                                     {"Length", PdfValue::number_of(held_.back().size())}}),
            held_.back());
    const PdfValue colours = output_intent();
    PdfValue& catalog = objects_.at(catalog_).value;
    catalog.set("OutputIntents", PdfValue::list_of({colours}));
    const PdfValue yes{PdfValue::Kind::truth, "true", {}, {}};
    catalog.set("Lang", {PdfValue::Kind::text, "en", {}, {}});
    catalog.set("MarkInfo", PdfValue::dictionary_of({{"Marked", yes}}));
    catalog.set("ViewerPreferences", PdfValue::dictionary_of({{"DisplayDocTitle", yes}}));
    catalog.set("Metadata", PdfValue::reference_to(xmp));
    info_ = add(PdfValue::dictionary_of({{"Title", PdfValue::words(facts_.title)},
                                         {"Subject", PdfValue::words(facts_.subject)},
                                         {"Creator", PdfValue::words("paneproof")},
                                         {"CreationDate", time()}}),
                {});
  }

  // What the colours of the page mean (ISO 19005-3, 6.2.3): sRGB, as a profile that is in the file.
  PdfValue output_intent() {
    held_.push_back(deflated(srgb_profile()));
    const std::size_t profile =
        add(PdfValue::dictionary_of({{"N", PdfValue::number_of(3)},
                                     {"Filter", PdfValue::name_of("FlateDecode")},
                                     {"Length", PdfValue::number_of(held_.back().size())}}),
            held_.back());
    const PdfValue name{PdfValue::Kind::text, "sRGB", {}, {}};
    return PdfValue::dictionary_of({{"Type", PdfValue::name_of("OutputIntent")},
                                    {"S", PdfValue::name_of("GTS_PDFA1")},
                                    {"OutputConditionIdentifier", name},
                                    {"Info", name},
                                    {"DestOutputProfile", PdfValue::reference_to(profile)}});
  }

  PdfFile written() {
    PdfFile file;
    file.bytes = pdf_header;
    std::string table;
    for (const auto& [number, object] : objects_) {
      char line[32];
      std::snprintf(line, sizeof line, "%010zu 00000 n \n", file.bytes.size());
      table += line;
      const std::string text = pdf_text(number, object);
      if (number == last_stream_) {
        file.slot_size = object.stream.size();
        file.slot_at = file.bytes.size() + text.size() - std::string_view("\nendstream\nendobj\n").size() -
                       file.slot_size;
      }
      file.bytes += text;
    }
    file.bytes += pdf_tail(file.bytes.size(), objects_.size(), table, catalog_, info_, facts_.id_hex);
    return file;
  }

  const PdfFacts& facts_;
  Objects objects_;
  std::size_t catalog_ = 0, info_ = 0, last_stream_ = 0;
  std::vector<std::string> held_;
  std::vector<std::pair<std::string, std::size_t>> specs_;
};

}  // namespace

std::string media_type(const std::string& name) {
  if (name.ends_with(".json")) return "application#2Fjson";
  if (name.ends_with(".txt")) return "text#2Fplain";
  if (name.ends_with(".jws")) return "application#2Fjose";
  return "application#2Foctet-stream";
}

std::string relationship(const std::string& name) {
  return name.starts_with("trace") ? "Source" : name == "result.json" ? "Data" : "Supplement";
}

std::string part_words(const std::string& name) {
  if (name.starts_with("trace"))
    return "The touch log of the drag sweep, as handed in or cut to the sweep; of a recording, the path in "
           "it";
  if (name == "result.json") return "What was found and decided";
  if (name == "limits.txt") return "The limits that decided";
  return "The signed statement";
}

std::string pdf_tail(std::size_t table_at, std::size_t count, const std::string& table, std::size_t catalog,
                     std::size_t info, const std::string& id_hex) {
  const std::string size = std::to_string(count + 1);
  return "xref\n0 " + size + "\n0000000000 65535 f \n" + table + "trailer\n<< /Size " + size + " /Root " +
         std::to_string(catalog) + " 0 R /Info " + std::to_string(info) + " 0 R /ID [<" + id_hex + "> <" +
         id_hex + ">] >>\nstartxref\n" + std::to_string(table_at) + "\n%%EOF\n";
}

PdfFile pdf_file(const std::string& drawn, const PdfFacts& facts, const std::vector<Part>& parts,
                 std::size_t slot_size) {
  Assembly assembly(drawn, facts);
  for (const Part& part : parts) assembly.attach(part, true);
  assembly.attach({statement_name, std::string(slot_size, ' ')}, false);
  return std::move(assembly).finish();
}

}  // namespace paneproof
