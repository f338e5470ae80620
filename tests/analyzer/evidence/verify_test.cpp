// Forgeries: by strangers (no key) and by an insider who signs them with the good key.
#include "analyzer/evidence/verify.hpp"

#include <catch2/catch.hpp>
#include <random>

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/jws.hpp"
#include "analyzer/evidence/sheet.hpp"
#include "tests/analyzer/evidence/example_evidence.hpp"

using namespace paneproof;
using Kind = VerifyResult::Kind;

namespace {

const Example& example() {
  static const Example made = example_evidence();
  return made;
}

Kind kind_of(const std::string& bytes) { return verify_evidence(bytes, {example().key.public_key()}).kind; }

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != text.npos);
  return text.replace(at, from.size(), to);
}

// The attachment of this name, as a stream among the objects.
PdfObject& attached(std::map<std::size_t, PdfObject>& objects, const std::string& name) {
  for (auto& [number, object] : objects)
    if (const PdfValue* type = object.value.find("Type");
        type && type->is_name("Filespec") && object.value.find("F")->text == name)
      return objects.at(object.value.find("EF")->find("F")->target());
  throw std::runtime_error("no such attachment");
}

PdfObject& of_type(std::map<std::size_t, PdfObject>& objects, const char* name) {
  for (auto& [number, object] : objects)
    if (const PdfValue* type = object.value.find("Type"); type && type->is_name(name)) return object;
  throw std::runtime_error("no such object");
}

void swap_bytes(PdfObject& object, const std::string& bytes) {
  static std::vector<std::unique_ptr<std::string>> kept;
  kept.push_back(std::make_unique<std::string>(bytes));
  object.stream = *kept.back();
  object.value.remove("Filter");
  object.value.set("Params", PdfValue::dictionary_of({{"Size", PdfValue::number_of(bytes.size())},
                                                      *(object.value.find("Params")->members.begin() + 1)}));
  object.value.set("Length", PdfValue::number_of(bytes.size()));
}

}  // namespace

TEST_CASE("the file itself is genuine") { CHECK(kind_of(example().bytes) == Kind::genuine); }

TEST_CASE("without the key it is whole, but its key unknown") {
  CHECK(verify_evidence(example().bytes, {}).kind == Kind::unknown_key);
}

TEST_CASE("the page is drawn the same each time") {
  const Answer made = answer(example().traces, example().question);
  const CheckResult result = result_of(made, example().question);
  CHECK(draw_sheet(result, example().evidence.statement).pdf ==
        draw_sheet(result, example().evidence.statement).pdf);
}

// Every eleventh byte of one file; PANEPROOF_ALL_FLIPS=1 takes all of three (two minutes).
TEST_CASE("no byte can be flipped") {
  const bool all = std::getenv("PANEPROOF_ALL_FLIPS") != nullptr;
  std::mt19937 random(42);
  for (int file = 0; file < (all ? 3 : 1); ++file) {
    std::string bytes = example_evidence(file).bytes;
    REQUIRE(kind_of(bytes) == Kind::genuine);
    std::size_t flipped = 0, missed = 0;
    for (std::size_t i = all ? 0 : random() % 11; i < bytes.size(); i += all ? 1 : 11, ++flipped) {
      const char was = bytes[i];
      bytes[i] = static_cast<char>(was ^ (1 << random() % 8));
      missed += kind_of(bytes) != Kind::altered;
      bytes[i] = was;
    }
    WARN("file " << file + 1 << ": " << flipped << " of " << bytes.size() << " bytes flipped, " << missed
                 << " missed");
    CHECK(missed == 0);
  }
}

TEST_CASE("nothing can be appended, put in front, or cut off") {
  const std::string& bytes = example().bytes;
  for (const std::string& more : {std::string("\n"), std::string(" "), std::string("%%EOF\n"),
                                  std::string("1 0 obj\nnull\nendobj\n")}) {
    CHECK(kind_of(bytes + more) == Kind::altered);
    CHECK(kind_of(more + bytes) == Kind::altered);
    CHECK(kind_of(resigned(bytes, example()) + more) == Kind::altered);
  }
  for (std::size_t cut : {std::size_t{1}, std::size_t{6}, std::size_t{100}, std::size_t{3000}})
    CHECK(kind_of(bytes.substr(0, bytes.size() - cut)) == Kind::altered);
  for (std::size_t left : {bytes.size() / 2, std::size_t{1000}, std::size_t{60}})
    CHECK(kind_of(bytes.substr(0, left)) == Kind::altered);
  CHECK(kind_of(bytes.substr(0, 20)) == Kind::no_evidence);  // nothing left tells what it was
  CHECK(kind_of("") == Kind::no_evidence);
  CHECK(kind_of("%PDF-1.7\n%%EOF\n") == Kind::no_evidence);
}

TEST_CASE("signing the same bytes anew changes nothing") {  // the tools of the forgeries below work
  CHECK(kind_of(resigned(example().bytes, example())) == Kind::genuine);
  CHECK(kind_of(rewritten(example(), [](auto&) {})) == Kind::genuine);
}

TEST_CASE("an insider cannot change the verdict or the result") {
  CHECK(kind_of(resigned(example().bytes, example(), [](Statement& s) {
          s.verdict = s.verdict == "pass" ? "fail" : "pass";
        })) == Kind::altered);
  CHECK(kind_of(rewritten(example(), [](auto& objects) {
          swap_bytes(attached(objects, "result.json"), "{\"verdict\": \"pass\"}\n");
        })) == Kind::altered);
}

TEST_CASE("an insider cannot replace the page") {
  Statement other = example().evidence.statement;
  other.device_id = "KY-9999";
  const Answer made = answer(example().traces, example().question);
  const PdfFile page = pdf_of(result_of(made, example().question), other, example().evidence.parts,
                              example().evidence.pdf.slot_size);
  CHECK(kind_of(resigned(page.bytes, example())) == Kind::altered);
}

TEST_CASE("an insider cannot say other words than the page says") {
  CHECK(kind_of(resigned(example().bytes, example(), [](Statement& s) { s.job = "WO-1"; })) == Kind::altered);
  CHECK(kind_of(resigned(example().bytes, example(), [](Statement& s) {
          s.stated_time = "2020-01-01T00:00:00+00:00";
        })) == Kind::altered);
  CHECK(kind_of(resigned(example().bytes, example(),
                         [](Statement& s) { s.bench_checks[0].second = "does not"; })) == Kind::altered);
}

TEST_CASE("an insider cannot swap the trace under the result") {
  const std::string log = replaced(example_log(), "0.010,1,2.00,2.00", "0.010,1,2.50,2.00");
  const auto forged = [&](bool facts) {
    return resigned(
        rewritten(example(), [&](auto& objects) { swap_bytes(attached(objects, "trace-1.txt"), log); }),
        example(), [&](Statement& s) {
          const std::string bytes =
              rewritten(example(), [&](auto& objects) { swap_bytes(attached(objects, "trace-1.txt"), log); });
          std::string blank = bytes;
          const std::size_t at = blank.rfind("\nstream\n") + 8, size = blank.find("\nendstream", at) - at;
          s.pdf_sha256 = sha256_hex(blank.replace(at, size, size, ' '));
          if (facts)
            s.parts[0].sha256 = sha256_hex(log), s.parts[0].size = static_cast<std::int64_t>(log.size());
        });
  };
  CHECK(kind_of(forged(false)) == Kind::altered);
  CHECK(kind_of(forged(true)) == Kind::altered);
}

TEST_CASE("an insider cannot add what acts, hides or leads outside") {
  for (const auto& [key, value] : std::vector<std::pair<std::string, PdfValue>>{
           {"OpenAction", PdfValue::dictionary_of({{"S", PdfValue::name_of("JavaScript")},
                                                   {"JS", {PdfValue::Kind::text, "app.alert(1)", {}, {}}}})},
           {"AcroForm", PdfValue::dictionary_of({})},
           {"OCProperties", PdfValue::dictionary_of({})},
           {"AA", PdfValue::dictionary_of({})},
           {"URI", PdfValue::dictionary_of({})},
           {"Version", PdfValue::name_of("1.3")},
           {"Harmless", PdfValue::number_of(1)}}) {
    INFO(key);
    CHECK(kind_of(rewritten(example(), [&, k = key, v = value](auto& objects) {
            of_type(objects, "Catalog").value.set(k, v);
          })) == Kind::altered);
  }
  CHECK(kind_of(rewritten(example(), [](auto& objects) {
          of_type(objects, "Page").value.set("Annots", PdfValue::list_of({}));
        })) == Kind::altered);
  CHECK(kind_of(rewritten(example(), [](auto& objects) {
          of_type(objects, "Page").value.set("Rotate", PdfValue::number_of(180));
        })) == Kind::altered);
  CHECK(kind_of(rewritten(example(), [](auto& objects) {
          objects[objects.size() + 1] = {PdfValue::number_of(7), false, {}};
        })) == Kind::altered);
}

TEST_CASE("an insider cannot bring a further attachment, or a checksum of the slot") {
  CHECK(kind_of(rewritten(example(), [](auto& objects) {
          PdfObject copy = attached(objects, "limits.txt");
          objects[objects.size() + 1] = copy;
        })) == Kind::altered);
  CHECK(kind_of(rewritten(example(), [](auto& objects) {
          PdfValue& slot = attached(objects, "statement.jws").value;
          PdfValue params = *slot.find("Params");
          params.set("CheckSum", {PdfValue::Kind::hex, std::string(32, '0'), {}, {}});
          slot.set("Params", params);
        })) == Kind::altered);
}

TEST_CASE("a second revision is seen even when signed") {
  const std::string more =
      "1 0 obj\nnull\nendobj\nxref\n1 1\n0000000000 00000 n \ntrailer\n<< /Size 2 /Prev 0 "
      ">>\nstartxref\n0\n%%EOF\n";
  std::string bytes = example().bytes + more;
  const std::size_t at = example().bytes.rfind("\nstream\n") + 8,
                    size = example().bytes.find("\nendstream", at) - at;
  bytes.replace(at, size, size, ' ');
  Statement statement = example().evidence.statement;
  statement.pdf_sha256 = sha256_hex(bytes);
  const std::string jws = sign_jws(statement_json(statement), evidence_type, example().key);
  CHECK(kind_of(bytes.replace(at, jws.size(), jws)) == Kind::altered);
}

TEST_CASE("another version's other verdict is told apart from a forgery") {
  const VerifyResult result = verify_evidence(resigned(example().bytes, example(),
                                                       [](Statement& s) {
                                                         s.judge = std::string(32, '0');
                                                         s.verdict = s.verdict == "pass" ? "fail" : "pass";
                                                       }),
                                              {example().key.public_key()});
  CHECK(result.kind == Kind::judged_otherwise);
  CHECK(result.verdict_now == example().evidence.statement.verdict);
}

TEST_CASE("random rubbish does no harm") {
  const unsigned seed = 7;
  INFO("seed " << seed);
  std::mt19937 random(seed);
  for (int i = 0; i < 300; ++i) {
    std::string bytes = example().bytes;
    for (int k = 0; k < 1 + i % 20; ++k)
      bytes.replace(random() % bytes.size(), random() % 30,
                    std::string(random() % 30, static_cast<char>(random())));
    CHECK(kind_of(bytes) != Kind::genuine);
  }
}
