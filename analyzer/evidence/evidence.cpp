#include "analyzer/evidence/evidence.hpp"

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/evidence/jws.hpp"
#include "analyzer/evidence/sheet.hpp"
#include "analyzer/report/json.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

// Room for the signed statement: header and payload grow by a third in base64url; the ledger's size may
// get longer by its digits.
std::size_t slot_for(const Statement& statement) {
  const std::size_t payload = canonical_json(statement_json(statement)).size() + 40;
  return ((payload + 200) * 4 / 3 + 90 + smallest_spare + 255) / 256 * 256;
}

}  // namespace

PdfFile pdf_of(const CheckResult& result, const Statement& statement, const std::vector<Part>& parts,
               std::size_t slot_size) {
  const Sheet sheet = draw_sheet(result, statement);
  const auto nonce = from_base64url(statement.nonce);
  return pdf_file(sheet.pdf,
                  {sheet.title, sheet.subject, statement.stated_time, sheet.figure_words,
                   hex(sha256_bytes(*nonce).substr(0, 16))},
                  parts, slot_size);
}

Evidence make_evidence(const Answer& answer, const Question& question, const std::vector<Part>& traces,
                       const std::vector<CutFacts>& cuts, const BenchWords& words, const PublicKey& key) {
  Evidence made;
  Statement& s = made.statement;
  const CheckResult result = result_of(answer, question);
  s.job = words.job;
  s.stage = words.stage;
  s.verdict = word(answer.verdict.outcome);
  s.version = program_version();
  s.stated_time = time_now();
  s.device_id = words.device_id;
  s.part_lot = words.part_lot;
  s.by = words.by;
  s.paper = words.paper;
  s.origin = words.origin;
  s.bench_checks = words.bench_checks;
  s.question = question;
  s.cuts = cuts;
  s.nonce = base64url(random_bytes(32));
  s.judge = judge_digest();
  s.key = key.jwk();
  s.before = {std::string(32, '0'), 0, std::string(64, '0')};
  s.pdf_sha256 = std::string(64, '0');
  made.parts = traces;
  made.parts.push_back({"result.json", json_text(result)});
  made.parts.push_back({"limits.txt", question.limits_text});
  for (const Part& part : made.parts)
    s.parts.push_back({part.name, sha256_hex(part.bytes), static_cast<std::int64_t>(part.bytes.size())});
  const Sheet sheet = draw_sheet(result, s);
  s.drawn_with = sheet.drawn_with;
  made.pdf = pdf_file(sheet.pdf,
                      {sheet.title, sheet.subject, s.stated_time, sheet.figure_words,
                       hex(sha256_bytes(*from_base64url(s.nonce)).substr(0, 16))},
                      made.parts, slot_for(s));
  s.pdf_sha256 = sha256_hex(made.pdf.bytes);
  if (made.pdf.slot_size > largest_slot)
    throw InputError("", "",
                     "expected fewer bench checks, masks and sweeps: the statement has no room for more", "",
                     Exit::usage);
  return made;
}

std::string sign_evidence(Evidence& evidence, const TreeHead& before, const SigningKey& key) {
  evidence.statement.before = before;
  std::string jws = sign_jws(statement_json(evidence.statement), evidence_type, key);
  if (jws.size() + smallest_spare > evidence.pdf.slot_size)
    throw InputError("", "", "the statement does not fit its slot", "", Exit::software);
  return jws;
}

std::string signed_bytes(const PdfFile& pdf, const std::string& jws) {
  std::string bytes = pdf.bytes;
  bytes.replace(pdf.slot_at, jws.size(), jws);
  return bytes;
}

std::string trace_name(std::size_t index, std::string_view bytes) {
  const bool text = bytes.substr(0, 4096).find('\0') == bytes.npos && !bytes.starts_with("\x1f\x8b") &&
                    !bytes.starts_with("\x28\xb5\x2f\xfd");
  const std::string name = "trace-" + std::to_string(index + 1);
  return name + (text                                    ? ".txt"
                 : bytes.starts_with("\x1f\x8b")         ? ".gz"
                 : bytes.starts_with("\x28\xb5\x2f\xfd") ? ".zst"
                                                         : ".bin");
}

}  // namespace paneproof
