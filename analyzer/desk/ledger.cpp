// paneproof ledger: head, prove, audit, export, reissue, forget.
#include <chrono>
#include <cstdio>

#include "analyzer/cli/commands.hpp"
#include "analyzer/desk/desk.hpp"
#include "analyzer/desk/passphrase.hpp"
#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/evidence/jws.hpp"
#include "analyzer/ledger/audit.hpp"
#include "analyzer/ledger/export.hpp"
#include "analyzer/ledger/key_files.hpp"
#include "analyzer/ledger/merkle.hpp"
#include "analyzer/ledger/record.hpp"
#include "capture/bytes/apart.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

struct LedgerOptions {
  std::string file, number, out, as = "csv", day, key_file, passphrase_file;
  std::vector<std::string> heads, against;
  bool sign = false;
  CLI::App *head = nullptr, *prove = nullptr, *audit = nullptr, *exported = nullptr, *reissue = nullptr,
           *forget = nullptr;
};

std::string counted(std::uint64_t count, const char* one, const char* many) {
  return std::to_string(count) + ' ' + (count == 1 ? one : many);
}

int head(const LedgerOptions& options, const Ledger& ledger) {
  nlohmann::json json = head_json(ledger.head());
  if (options.sign) {
    const std::string file = key_file(options.key_file);
    const SigningKey key =
        load_key(file, [&] { return ask_passphrase(options.passphrase_file, file, false); });
    json["key"] = key.public_key().jwk();
    std::printf("%s\n", sign_jws(json, tree_head_type, key).c_str());
  } else {
    std::printf("%s\n", canonical_json(json).c_str());
  }
  return 0;
}

int prove(const LedgerOptions& options, const Ledger& ledger) {
  const std::uint64_t number = entry_number(options.number);
  const auto entry = ledger.entry(number);
  if (!entry)
    throw InputError(ledger.file(), "entry " + std::to_string(number), "no such entry",
                     "paneproof ledger head shows how many there are");
  const std::vector<std::string> hashes = ledger.hashes();
  nlohmann::json path = nlohmann::json::array();
  for (const std::string& beside : merkle_path(hashes, number)) path.push_back(hex(beside));
  std::printf("%s\n", canonical_json(
                          {{"index", number}, {"size", hashes.size()}, {"path", path}, {"leaf", entry->leaf}})
                          .c_str());
  return 0;
}

int run_audit(const LedgerOptions& options, const Ledger& ledger) {
  std::vector<EarlierHead> heads;
  for (const std::string& file : options.heads)
    heads.push_back(earlier_head(file, file_bytes(file, 1 << 16)));
  std::vector<HandedOut> files;
  for (const std::string& file : options.against) files.push_back({file, file_bytes(file, largest_evidence)});
  const std::vector<std::string> findings = audit(ledger, heads, files);
  for (const std::string& finding : findings) std::printf("WRONG  %s\n", printable(finding, 400).c_str());
  if (findings.empty())
    std::printf("sound  %s, %s and %s agree\n", counted(ledger.size(), "entry", "entries").c_str(),
                counted(heads.size(), "earlier head", "earlier heads").c_str(),
                counted(files.size(), "evidence file", "evidence files").c_str());
  return findings.empty() ? 0 : 1;
}

// "2026-11-28", a day that the calendar has: what is forgotten by a slip of the hand does not come back.
bool is_day(const std::string& text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (i != 4 && i != 7 && (text[i] < '0' || text[i] > '9')) return false;
  const std::chrono::year_month_day day{
      std::chrono::year(std::stoi(text.substr(0, 4))),
      std::chrono::month(static_cast<unsigned>(std::stoi(text.substr(5, 2)))),
      std::chrono::day(static_cast<unsigned>(std::stoi(text.substr(8, 2))))};
  return day.ok();
}

int forget(const LedgerOptions& options, Ledger& ledger) {
  if (!is_day(options.day))
    throw InputError("", "--before " + printable(options.day), "expected a day of the calendar as YYYY-MM-DD",
                     "", Exit::usage);
  std::printf("forgot the personal words of %s\n",
              counted(forget_before(ledger, options.day), "entry", "entries").c_str());
  return 0;
}

int run(const LedgerOptions& options) {
  keep_apart({ledger_file(options.file)}, {{"--output", options.out}});
  Ledger ledger(ledger_file(options.file), Ledger::Mode::read);
  if (options.head->parsed()) return head(options, ledger);
  if (options.prove->parsed()) return prove(options, ledger);
  if (options.audit->parsed()) return run_audit(options, ledger);
  if (options.forget->parsed()) return forget(options, ledger);
  if (options.exported->parsed())
    write_file(options.out, options.as == "json" ? ledger_json(ledger) : ledger_csv(ledger));
  if (options.reissue->parsed()) write_file(options.out, reissued(ledger, entry_number(options.number)));
  return 0;
}

}  // namespace

std::function<int()> set_up_ledger(CLI::App& app) {
  const auto options = std::make_shared<LedgerOptions>();
  app.require_subcommand(1);
  options->head = app.add_subcommand("head", "print the ledger's id, size and root");
  options->prove = app.add_subcommand("prove", "print the path that shows one entry");
  options->audit = app.add_subcommand(
      "audit", "check the whole ledger, and that it continues earlier heads and evidence files");
  options->exported = app.add_subcommand("export", "write all entries as CSV or JSON");
  options->reissue = app.add_subcommand("reissue", "make a lost evidence file again");
  options->forget =
      app.add_subcommand("forget", "remove device ids and names that are older than a day; the proofs stay");
  for (CLI::App* each :
       {options->head, options->prove, options->audit, options->exported, options->reissue, options->forget})
    each->add_option("--ledger", options->file, "ledger file, instead of the one in the data folder")
        ->type_name("FILE");
  options->head->add_flag("--signed", options->sign, "as a signed JWS");
  options->head
      ->add_option("--key-file", options->key_file, "private key, instead of the one in the data folder")
      ->type_name("FILE");
  options->head
      ->add_option("--passphrase-file", options->passphrase_file, "file that holds the key's passphrase")
      ->type_name("FILE");
  for (CLI::App* each : {options->prove, options->reissue})
    each->add_option("ENTRY", options->number, "number of the entry")->type_name("")->required();
  options->audit->add_option("--head", options->heads, "file with an earlier head (repeatable)")
      ->type_name("FILE")
      ->take_all();
  options->audit->add_option("--against", options->against, "evidence files that were handed out")
      ->type_name("FILE")
      ->take_all();
  options->exported->add_option("--as", options->as, "csv or json")->check(CLI::IsMember({"csv", "json"}));
  options->out = "-";
  options->exported->add_option("-o,--output", options->out, "file to write, instead of standard output")
      ->type_name("FILE");
  options->reissue->add_option("-o,--output", options->out, "file to write")->type_name("FILE")->required();
  options->forget->add_option("--before", options->day, "YYYY-MM-DD")->type_name("DAY")->required();
  options->audit->footer(
      "Exit codes: 0 sound; 1 something is wrong; 64 usage; 65, 66 no ledger, head or evidence file.");
  return [options] { return run(*options); };
}

}  // namespace paneproof
