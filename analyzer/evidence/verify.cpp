#include "analyzer/evidence/verify.hpp"

#include <algorithm>

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/evidence.hpp"
#include "analyzer/evidence/jws.hpp"
#include "analyzer/evidence/sheet.hpp"
#include "analyzer/report/json.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Kind = VerifyResult::Kind;
constexpr std::int64_t largest_unpacked = std::int64_t{1} << 29;

struct Altered {
  std::string why;
};

[[noreturn]] void altered(const std::string& why) { throw Altered{why}; }

// Before anything is unpacked: the slot's spaces, the signature, the digest of the whole file.
PublicKey take_statement(std::string_view bytes, const PdfLayout& layout, VerifyResult& result) {
  const std::string_view slot = bytes.substr(layout.slot_at, layout.slot_size);
  if (slot.size() > largest_slot) altered("the statement's slot is larger than any statement");
  const std::size_t end = slot.find_last_not_of(' ');
  const std::string_view jws = slot.substr(0, end == slot.npos ? 0 : end + 1);
  if (slot.size() - jws.size() < smallest_spare)
    altered("the statement's slot has less than 512 spaces to spare");
  OpenedJws opened = open_jws(jws, evidence_type, statement_name);
  result.statement = statement_of(opened.payload, statement_name);
  std::string blank(bytes);
  blank.replace(layout.slot_at, layout.slot_size, layout.slot_size, ' ');
  result.jws = std::string(jws);
  if (sha256_hex(blank) != result.statement.pdf_sha256)
    altered("the file's bytes are not those that were signed");
  result.signed_rightly = true;
  return opened.key;
}

// The attachments must be those of the statement, in its order.
std::vector<Part> take_parts(const PdfLayout& layout, const Statement& statement) {
  if (layout.attachments.size() != statement.parts.size() + 1)
    altered("the attachments are not those of the statement");
  std::vector<Part> parts;
  std::int64_t total = 0;
  for (std::size_t i = 0; i < statement.parts.size(); ++i) {
    const PartFacts& facts = statement.parts[i];
    if (layout.attachments[i].name != facts.name) altered("the attachments are not those of the statement");
    if (facts.size > largest_unpacked || (total += facts.size) > largest_unpacked)
      altered("the attachments are larger than any sweep's");
    Part part{facts.name, unpacked(layout.attachments[i], static_cast<std::size_t>(facts.size))};
    if (sha256_hex(part.bytes) != facts.sha256) altered(facts.name + " is not the one that was signed");
    parts.push_back(std::move(part));
  }
  return parts;
}

std::vector<Part> take_traces(const std::vector<Part>& parts, const Statement& statement) {
  const std::size_t count = parts.size() < 3 ? 0 : parts.size() - 2;
  if (count == 0 || parts[count].name != "result.json" || parts[count + 1].name != "limits.txt" ||
      statement.cuts.size() != count)
    altered("the attachments are not traces, result.json and limits.txt");
  std::vector<Part> traces(parts.begin(), parts.begin() + static_cast<std::ptrdiff_t>(count));
  for (std::size_t i = 0; i < count; ++i)
    if (traces[i].name != trace_name(i, traces[i].bytes) || statement.cuts[i].part != traces[i].name)
      altered("the traces do not stand under their names");
  return traces;
}

// Analyses and draws again.
void recompute(const std::vector<Part>& parts, std::string_view bytes, const PdfLayout& layout,
               VerifyResult& result) {
  Statement& statement = result.statement;
  const std::vector<Part> traces = take_traces(parts, statement);
  statement.question.limits_text = parts.back().bytes;
  const bool same_judge = statement.judge == judge_digest() && statement.version == program_version();
  const Answer now = answer(traces, statement.question);
  const CheckResult report = result_of(now, statement.question);
  result.verdict_now = word(now.verdict.outcome);
  const bool same_numbers =
      json_text(report) == parts[parts.size() - 2].bytes && result.verdict_now == statement.verdict;
  if (!same_numbers && same_judge)
    altered(result.verdict_now == statement.verdict ? "result.json: its numbers are not those of the trace"
                                                    : "the verdict is not the trace's");
  if (!same_numbers) {
    result.kind = Kind::judged_otherwise;
    result.why = "paneproof " + statement.version + " judged this trace " + statement.verdict +
                 "; this version judges it " + result.verdict_now;
    return;
  }
  const Sheet sheet = draw_sheet(report, statement);
  const PdfFile drawn = pdf_of(report, statement, parts, layout.slot_size);
  if (sha256_hex(drawn.bytes) == statement.pdf_sha256 && drawn.bytes.size() == bytes.size()) {
    result.kind = Kind::genuine;
    return;
  }
  if (same_judge && sheet.drawn_with == statement.drawn_with)
    altered("the page is not the one that this result draws");
  result.kind = Kind::judged_otherwise;
  result.why =
      "the trace gives the same numbers, but the page was drawn by another build or with other fonts and was "
      "not compared: trust the numbers in result.json, not the page";
}

}  // namespace

VerifyResult verify_evidence(std::string_view bytes, const std::vector<PublicKey>& known) {
  VerifyResult result;
  if (!may_be_evidence(bytes)) {
    result.kind = Kind::no_evidence;
    result.why = "expected an evidence file that paneproof check --evidence made";
    return result;
  }
  try {
    const PdfLayout layout = read_layout(bytes);
    const PublicKey key = take_statement(bytes, layout, result);
    recompute(take_parts(layout, result.statement), bytes, layout, result);
    if (std::find(known.begin(), known.end(), key) == known.end()) {
      result.why = "rightly signed by key " + key.thumbprint() + ", which is not known here" +
                   (result.why.empty() ? "" : "; " + result.why);
      result.kind = Kind::unknown_key;
    }
  } catch (const Altered& found) {
    result.kind = Kind::altered;
    result.why = found.why;
  } catch (const InputError& error) {
    result.kind = Kind::altered;
    result.why = error.what();
  } catch (const std::exception&) {  // out of memory, or a library's complaint: not genuine in any case
    result.kind = Kind::altered;
    result.why = "the file cannot be read through";
  }
  return result;
}

}  // namespace paneproof
