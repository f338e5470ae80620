#include "tests/analyzer/evidence/example_evidence.hpp"

#include <cstdio>

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/jws.hpp"
#include "analyzer/evidence/pdf_parts.hpp"
#include "analyzer/verdict/limits.hpp"

namespace paneproof {

std::string example_log(int shift_um) {
  std::string log = "t_s,contact,x_mm,y_mm,phase\n";
  double t = 0;
  for (int row = 0; row < 12; ++row)
    for (int i = 0; i <= 30; ++i, t += 0.01) {
      char line[80];
      std::snprintf(line, sizeof line, "%.3f,%d,%.2f,%.2f,%s\n", t, row + 1,
                    (row % 2 ? 60 - 2.0 * i : 2.0 * i), 2 + 5.0 * row + shift_um / 1e3,
                    i == 0    ? "down"
                    : i == 30 ? "up"
                              : "move");
      log += line;
    }
  return log;
}

Example example_evidence(int which) {
  Question question;
  question.panel.width_mm = question.panel.height_mm = 60;
  question.panel.size_origin = "--panel";
  question.limits_text = std::string(default_limits_text());
  if (which == 1) question.conditions = {Condition::charging};
  std::vector<Part> traces = {{"trace-1.txt", example_log()}};
  if (which == 2) traces.push_back({"trace-2.txt", example_log(700)});
  std::vector<CutFacts> cuts;
  for (const Part& trace : traces) cuts.push_back({trace.name, "nobody", 0, 0});
  const BenchWords words = which == 1 ? BenchWords{"WO-2208",
                                                   "intake",
                                                   "KY-0043 \u4e2d\u6587",
                                                   "",
                                                   "\u041c\u0430\u0440\u0438\u044f",
                                                   "letter",
                                                   "handed in",
                                                   {}}
                                      : BenchWords{"WO-2207", "closed", "KY-0042",   "L7",
                                                   "Ana",     "a4",     "handed in", {{"charging", "works"}}};
  const SigningKey key = SigningKey::from_seed(std::string(32, 'k'));
  const Answer made = answer(traces, question);
  Evidence evidence = make_evidence(made, question, traces, cuts, words, key.public_key());
  const std::string jws = sign_evidence(evidence, {std::string(32, 'a'), 3, std::string(64, 'b')}, key);
  const std::string bytes = signed_bytes(evidence.pdf, jws);
  return {key, question, traces, std::move(evidence), bytes};
}

std::string resigned(std::string bytes, const Example& example,
                     const std::function<void(Statement&)>& change) {
  const std::size_t at = bytes.rfind("\nstream\n") + 8, size = bytes.find("\nendstream", at) - at;
  bytes.replace(at, size, size, ' ');
  Statement statement = example.evidence.statement;
  statement.pdf_sha256 = sha256_hex(bytes);
  if (change) change(statement);
  const std::string jws = sign_jws(statement_json(statement), evidence_type, example.key);
  return bytes.replace(at, jws.size(), jws);
}

std::string rewritten(const Example& example,
                      const std::function<void(std::map<std::size_t, PdfObject>&)>& change) {
  auto objects = read_layout(example.bytes).objects;
  change(objects);
  std::string bytes(pdf_header), table;
  std::size_t catalog = 0, info = 0;
  for (const auto& [number, object] : objects) {
    char line[32];
    std::snprintf(line, sizeof line, "%010zu 00000 n \n", bytes.size());
    table += line;
    bytes += pdf_text(number, object);
    if (const PdfValue* type = object.value.find("Type"); type && type->is_name("Catalog")) catalog = number;
    if (object.value.find("CreationDate")) info = number;
  }
  bytes += pdf_tail(bytes.size(), objects.size(), table, catalog, info,
                    hex(sha256_bytes(*from_base64url(example.evidence.statement.nonce)).substr(0, 16)));
  return resigned(bytes, example);
}

}  // namespace paneproof
