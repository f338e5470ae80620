#include "analyzer/ledger/record.hpp"

#include <algorithm>

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/evidence/jws.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Json = nlohmann::json;

// Words and their commitments: {field: {salt, value}} and {field: digest}.
struct Personal {
  Json words = Json::object(), commitments = Json::object();
  void add(const std::string& field, const std::string& value) {
    if (value.empty()) return;
    const std::string salt = random_bytes(16);
    words[field] = {{"salt", hex(salt)}, {"value", value}};
    commitments[field] = sha256_hex(salt + value);
  }
  std::string text() const { return words.empty() ? "" : canonical_json(words); }
};

template <class Work>
auto in_transaction(Ledger& ledger, Work work) {
  ledger.begin();
  try {
    auto made = work();
    ledger.commit();
    return made;
  } catch (...) {
    ledger.roll_back();
    throw;
  }
}

bool knows(const Ledger& ledger, const PublicKey& key) {
  for (const Entry& entry : ledger.entries_naming(key.thumbprint())) {
    const Json leaf = strict_json(entry.leaf, ledger.file());
    if (leaf.value("kind", "") == "key" && leaf.contains("key") && leaf["key"] == key.jwk()) return true;
  }
  return false;
}

std::vector<std::uint64_t> holders_of(const Ledger& ledger, const Statement& statement) {
  std::vector<std::uint64_t> holders;
  for (const CutFacts& cut : statement.cuts)
    for (const PartFacts& part : statement.parts)
      if (part.name == cut.part)
        for (const Entry& entry : ledger.entries_naming(part.sha256)) {
          const Json leaf = strict_json(entry.leaf, ledger.file());
          if (!leaf.contains("traces")) continue;
          for (const Json& digest : leaf["traces"])
            if (digest == part.sha256 && (holders.empty() || holders.back() != entry.number))
              holders.push_back(entry.number);
        }
  return holders;
}

Json evidence_leaf(const Evidence& evidence, const std::string& jws, const Json& commitments) {
  const Statement& s = evidence.statement;
  Json traces = Json::array(), parts = Json::array();
  for (const PartFacts& part : s.parts) {
    if (part.name.starts_with("trace")) traces.push_back(part.sha256);
    parts.push_back(part.sha256);
  }
  return {{"kind", "evidence"},
          {"job", s.job},
          {"stage", s.stage},
          {"verdict", s.verdict},
          {"version", s.version},
          {"stated_time", s.stated_time},
          {"traces", traces},
          {"parts", parts},
          {"slot", evidence.pdf.slot_size},
          {"pdf_sha256", s.pdf_sha256},
          {"statement_sha256", sha256_hex(jws)},
          {"commitments", commitments}};
}

}  // namespace

Recorded record_evidence(Ledger& ledger, Evidence& evidence, const SigningKey& key,
                         const std::string& pdf_file) {
  AtomicFile file(pdf_file);
  const Recorded recorded = in_transaction(ledger, [&] {
    Recorded made;
    const PublicKey& mine = key.public_key();
    if (!knows(ledger, mine))
      ledger.append({{"kind", "key"},
                     {"key", mine.jwk()},
                     {"kid", mine.thumbprint()},
                     {"replaces", ""},
                     {"stated_time", time_now()}});
    made.seen_before = holders_of(ledger, evidence.statement);
    const std::string jws = sign_evidence(evidence, ledger.head(), key);
    Personal personal;
    personal.add("device_id", evidence.statement.device_id);
    personal.add("part_lot", evidence.statement.part_lot);
    personal.add("by", evidence.statement.by);
    for (std::size_t i = 0; i < evidence.parts.size(); ++i)
      ledger.keep_part(evidence.statement.parts[i].sha256, evidence.parts[i].bytes);
    made.number = ledger.append(evidence_leaf(evidence, jws, personal.commitments), jws, personal.text());
    file.write(signed_bytes(evidence.pdf, jws));
    file.secure();  // on the disk before the entry that speaks of it
    return made;
  });
  try {
    file.commit();
  } catch (const InputError& error) {
    const std::string number = std::to_string(recorded.number);
    throw InputError(error.file, error.place, error.expected + "; entry " + number + " is in the ledger",
                     "paneproof ledger reissue " + number + " -o FILE writes the file", error.exit);
  }
  return recorded;
}

std::uint64_t record_notes(Ledger& ledger, const std::vector<BenchNote>& notes) {
  return in_transaction(ledger, [&] {
    const std::uint64_t first = ledger.size();
    for (const BenchNote& note : notes) {
      Personal personal;
      personal.add("by", note.by);
      ledger.append({{"kind", "check"},
                     {"job", note.job},
                     {"stage", note.stage},
                     {"name", note.name},
                     {"state", note.state},
                     {"stated_time", time_now()},
                     {"commitments", personal.commitments}},
                    "", personal.text());
    }
    return first;
  });
}

std::uint64_t record_key(Ledger& ledger, const PublicKey& key, const std::string& replaces) {
  return in_transaction(ledger, [&] {
    return ledger.append({{"kind", "key"},
                          {"key", key.jwk()},
                          {"kid", key.thumbprint()},
                          {"replaces", replaces},
                          {"stated_time", time_now()}});
  });
}

std::size_t forget_before(Ledger& ledger, const std::string& day) {
  const std::size_t count = in_transaction(ledger, [&] {
    Json numbers = Json::array();
    for (const Entry& entry : ledger.entries()) {
      const Json leaf = strict_json(entry.leaf, ledger.file());
      if (entry.personal.empty() || leaf.value("stated_time", "") >= day) continue;
      numbers.push_back(entry.number);
      ledger.forget_personal(entry.number);
    }
    if (!numbers.empty())
      ledger.append({{"kind", "forgotten"}, {"entries", numbers}, {"stated_time", time_now()}});
    return numbers.size();
  });
  ledger.settle();
  return count;
}

std::string reissued(const Ledger& ledger, std::uint64_t number) {
  const auto refuse = [&](const char* expected) -> void {
    throw InputError(ledger.file(), "entry " + std::to_string(number), expected, "");
  };
  const auto entry = ledger.entry(number);
  if (!entry || entry->statement.empty()) refuse("expected an entry of evidence that is not forgotten");
  const Json leaf = strict_json(entry->leaf, ledger.file());
  Statement statement =
      statement_of(open_jws(entry->statement, evidence_type, ledger.file()).payload, ledger.file());
  std::vector<Part> parts, traces;
  for (const PartFacts& facts : statement.parts) {
    const auto bytes = ledger.part(facts.sha256);
    if (!bytes) refuse("expected the parts of this evidence in the ledger");
    parts.push_back({facts.name, *bytes});
    if (facts.name.starts_with("trace")) traces.push_back(parts.back());
    if (facts.name == "limits.txt") statement.question.limits_text = *bytes;
  }
  const Answer made = answer(traces, statement.question);
  const PdfFile pdf =
      pdf_of(result_of(made, statement.question), statement, parts, leaf.value("slot", std::size_t{0}));
  if (sha256_hex(pdf.bytes) != statement.pdf_sha256)
    refuse(
        "this version draws another page than the one that was signed: use the version and fonts that made "
        "it");
  return signed_bytes(pdf, entry->statement);
}

}  // namespace paneproof
