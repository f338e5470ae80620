// paneproof verify: is an evidence file genuine?
#include "analyzer/evidence/verify.hpp"

#include <cstdio>

#include "analyzer/cli/commands.hpp"
#include "analyzer/desk/desk.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/ledger/key_files.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

struct VerifyOptions {
  std::string file;
  std::vector<std::string> keys;
};

std::vector<PublicKey> trusted(const VerifyOptions& options) {
  std::vector<PublicKey> keys;
  for (const std::string& file : options.keys)
    keys.push_back(PublicKey::from_jwk(strict_json(file_bytes(file, 1 << 16), file), file));
  try {
    for (const PublicKey& key : known_keys()) keys.push_back(key);
  } catch (const InputError& error) {
    if (error.exit != Exit::cannot_create) throw;  // without a home folder no key is known
  }
  return keys;
}

void print_statement(const VerifyResult& result) {
  const Statement& s = result.statement;
  const auto line = [](const char* label, const std::string& value) {
    if (!value.empty()) std::printf("  %-12s %s\n", label, printable(value, 200).c_str());
  };
  line("job", s.job);
  line("stage", s.stage);
  line("verdict", s.verdict);
  line("device", s.device_id);
  line("part lot", s.part_lot);
  line("by", s.by);
  line("stated time", s.stated_time);
  line("version", s.version);
  line("key", PublicKey::from_jwk(s.key, "statement").thumbprint());
  line("ledger", s.before.ledger + ", entry " + std::to_string(s.before.size));
}

int verify(const VerifyOptions& options) {
  const std::string bytes = file_bytes(options.file, largest_evidence);
  const VerifyResult result = verify_evidence(bytes, trusted(options));
  if (result.kind == VerifyResult::Kind::no_evidence) throw InputError(options.file, "", result.why, "");
  const char* words[] = {"genuine", "ALTERED", "key not known here", "judged otherwise"};
  std::printf("%s  %s\n", words[static_cast<int>(result.kind)], printable(options.file, 400).c_str());
  if (!result.why.empty()) std::printf("  %s\n", printable(result.why, 400).c_str());
  if (result.kind != VerifyResult::Kind::altered) print_statement(result);
  return static_cast<int>(result.kind);
}

}  // namespace

std::function<int()> set_up_verify(CLI::App& app) {
  const auto options = std::make_shared<VerifyOptions>();
  app.add_option("FILE", options->file, "evidence file (PDF)")->type_name("")->required();
  app.add_option("--key", options->keys, "public key (JWK) to trust besides those known here (repeatable)")
      ->type_name("FILE")
      ->take_all()
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
  app.footer(
      "Exit codes: 0 genuine; 1 altered; 2 whole, but its key is not known here; 3 whole, but judged "
      "otherwise by this version; 65 no evidence; 66 no such file.");
  return [options] { return verify(*options); };
}

}  // namespace paneproof
