#include "analyzer/ledger/audit.hpp"

#include <algorithm>
#include <set>

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/evidence/jws.hpp"
#include "analyzer/evidence/verify.hpp"
#include "analyzer/ledger/merkle.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Json = nlohmann::json;

class Auditor {
 public:
  explicit Auditor(const Ledger& ledger) : ledger_(ledger) {}

  void walk() {
    if (const std::string complaint = ledger_.integrity(); !complaint.empty())
      found("the database file is damaged: " + printable(complaint, 200));
    roots_.push_back(tree_.root());
    const std::vector<Entry> entries = ledger_.entries();
    if (entries.empty()) found("the ledger has no first entry");
    for (const Entry& entry : entries) {
      try {
        take(entry);
      } catch (const InputError& error) {
        wrong(entry, error.expected);
      } catch (const Json::exception&) {
        wrong(entry, "its leaf is not that of a kind of entry");
      }
      tree_.add(leaf_hash(entry.leaf));
      roots_.push_back(tree_.root());
    }
    for (const std::uint64_t number : missing_personal_)
      if (!forgotten_.count(number))
        found("entry " + std::to_string(number) +
              ": its personal words are gone, and no entry says that they were forgotten");
    for (const std::string& digest : ledger_.part_digests())
      if (!parts_.count(digest)) found("an embedded file is kept that no entry names: " + digest);
  }

  void compare(const std::string& name, const TreeHead& head) {
    if (head.ledger != id_)
      return found(printable(name) + " is of another ledger (" + printable(head.ledger) + ")");
    if (head.size >= roots_.size())
      return found(printable(name) + ": the ledger had " + std::to_string(head.size) + " entries and has " +
                   std::to_string(roots_.size() - 1) + " now: it was cut or rolled back");
    if (hex(roots_[head.size]) != head.root)
      found(printable(name) + ": the first " + std::to_string(head.size) +
            " entries are not those of then: the ledger was rewritten or forked");
  }

  void compare(const HandedOut& file) {
    const VerifyResult result = verify_evidence(file.bytes, {});
    if (!result.signed_rightly || result.kind == VerifyResult::Kind::altered ||
        result.kind == VerifyResult::Kind::no_evidence)
      return found(printable(file.name) + " is no genuine evidence: " + result.why);
    compare(file.name, result.statement.before);
    if (result.statement.before.ledger != id_) return;
    const auto entry = ledger_.entry(result.statement.before.size);
    if (!entry)
      return found(printable(file.name) + ": its entry " + std::to_string(result.statement.before.size) +
                   " is not in the ledger: it was cut or rolled back");
    const Json leaf = Json::parse(entry->leaf, nullptr, false);
    if (!leaf.is_object() || leaf.value("statement_sha256", Json()) != sha256_hex(result.jws))
      found(printable(file.name) + ": entry " + std::to_string(entry->number) +
            " is another: the ledger was rewritten or forked");
  }

  std::vector<std::string> findings;

 private:
  void found(const std::string& what) { findings.push_back(what); }
  void wrong(const Entry& entry, const std::string& what) {
    found("entry " + std::to_string(entry.number) + ": " + what);
  }

  void take(const Entry& entry) {
    if (entry.number != tree_.size())
      wrong(entry, "expected entry " + std::to_string(tree_.size()) + " here: one is missing");
    if (entry.hash != leaf_hash(entry.leaf)) wrong(entry, "its hash is not that of its leaf");
    const Json leaf = canonical_only(entry.leaf, ledger_.file());
    const std::string kind = leaf.at("kind");
    if (entry.number == 0 && kind == "ledger") id_ = leaf.at("ledger");
    if ((entry.number == 0) != (kind == "ledger"))
      wrong(entry, "expected the ledger's own entry first, and once");
    if (kind != "evidence" && !entry.statement.empty())
      wrong(entry, "it holds a statement that is not its own");
    if (kind == "key") keys_.push_back(PublicKey::from_jwk(leaf.at("key"), ledger_.file()));
    if (kind == "key" && leaf.at("kid") != keys_.back().thumbprint())
      wrong(entry, "its key is not the one it names");
    if (kind == "forgotten")
      for (const Json& number : leaf.at("entries")) forgotten_.insert(number.get<std::uint64_t>());
    take_personal(entry, leaf);
    if (kind == "evidence")
      take_evidence(entry, leaf);
    else if (kind != "ledger" && kind != "key" && kind != "forgotten" && kind != "check")
      wrong(entry, "it is of no known kind");
  }

  void take_personal(const Entry& entry, const Json& leaf) {
    const Json commitments = leaf.value("commitments", Json::object());
    if (entry.personal.empty()) {
      if (!commitments.empty()) missing_personal_.insert(entry.number);
      return;
    }
    const Json words = canonical_only(entry.personal, ledger_.file());
    if (words.empty() || words.size() != commitments.size())
      wrong(entry, "its personal words are not those that were committed to");
    for (const auto& [field, word] : words.items()) {
      const auto salt = from_hex(word.at("salt").get<std::string>());
      if (word.size() != 2 || !salt || salt->size() != 16 ||
          commitments.value(field, Json()) != sha256_hex(*salt + word.at("value").get<std::string>()))
        wrong(entry, "its " + printable(field) + " is not the one that was committed to");
    }
  }

  void take_evidence(const Entry& entry, const Json& leaf) {
    for (const Json& digest : leaf.at("parts")) {
      parts_.insert(digest.get<std::string>());
      if (!ledger_.part(digest)) wrong(entry, "an embedded file is missing or altered");
    }
    if (entry.statement.empty()) {
      missing_personal_.insert(entry.number);
      return;
    }
    if (leaf.at("statement_sha256") != sha256_hex(entry.statement))
      return wrong(entry, "its statement is not the one that was recorded");
    const OpenedJws opened = open_jws(entry.statement, evidence_type, ledger_.file());
    const Statement s = statement_of(opened.payload, ledger_.file());
    if (std::find(keys_.begin(), keys_.end(), opened.key) == keys_.end())
      wrong(entry, "it is signed by a key that the ledger does not name");
    if (s.before.ledger != id_ || s.before.size != entry.number || s.before.root != hex(tree_.root()))
      wrong(entry, "its statement was made on another state of the ledger");
    std::vector<std::string> digests;
    for (const PartFacts& part : s.parts) digests.push_back(part.sha256);
    if (leaf.at("job") != s.job || leaf.at("stage") != s.stage || leaf.at("verdict") != s.verdict ||
        leaf.at("version") != s.version || leaf.at("stated_time") != s.stated_time ||
        leaf.at("pdf_sha256") != s.pdf_sha256 || leaf.at("parts") != digests)
      wrong(entry, "it does not say what its statement says");
    const Json words = entry.personal.empty() ? Json::object() : Json::parse(entry.personal);
    for (const auto& [field, value] : {std::pair<const char*, std::string>{"device_id", s.device_id},
                                       {"part_lot", s.part_lot},
                                       {"by", s.by}})
      if ((words.contains(field) ? words[field].at("value").get<std::string>() : "") != value)
        wrong(entry, std::string("its ") + field + " is not its statement's");
  }

  const Ledger& ledger_;
  GrowingTree tree_;
  std::vector<std::string> roots_;  // by size
  std::string id_;
  std::vector<PublicKey> keys_;
  std::set<std::uint64_t> missing_personal_, forgotten_;
  std::set<std::string> parts_;
};

}  // namespace

std::vector<std::string> audit(const Ledger& ledger, const std::vector<EarlierHead>& heads,
                               const std::vector<HandedOut>& files) {
  Auditor auditor(ledger);
  auditor.walk();
  for (const EarlierHead& earlier : heads) auditor.compare(earlier.name, earlier.head);
  for (const HandedOut& file : files) auditor.compare(file);
  return auditor.findings;
}

Json head_json(const TreeHead& head) {
  return {{"ledger", head.ledger}, {"size", head.size}, {"root", head.root}};
}

EarlierHead earlier_head(const std::string& name, const std::string& text) {
  const std::string bare = text.substr(0, text.find_last_not_of(" \n\r\t") + 1);
  try {
    const Json json =
        bare.starts_with('{') ? strict_json(bare, name) : open_jws(bare, tree_head_type, name).payload;
    const TreeHead head{json.at("ledger"), json.at("size"), json.at("root")};
    if (json.size() == (bare.starts_with('{') ? 3u : 4u)) return {name, head};
  } catch (const Json::exception&) {
  }
  throw InputError(name, "", "expected a head as paneproof ledger head prints it", "");
}

}  // namespace paneproof
