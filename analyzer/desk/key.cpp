// paneproof key: make, show and replace the key that signs.
#include <unistd.h>

#include <cstdio>

#include "analyzer/cli/commands.hpp"
#include "analyzer/desk/desk.hpp"
#include "analyzer/desk/passphrase.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/ledger/key_files.hpp"
#include "analyzer/ledger/record.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

struct KeyOptions {
  std::string file, passphrase_file, old_passphrase_file, ledger;
  bool passphrase = false, jwk = false;
  CLI::App *fresh = nullptr, *show = nullptr, *rotate = nullptr;
};

std::string chosen_passphrase(const KeyOptions& options) {
  if (!options.passphrase && options.passphrase_file.empty()) return "";
  return ask_passphrase(options.passphrase_file, key_file(options.file), true);
}

int key_new(const KeyOptions& options) {
  const SigningKey key = SigningKey::random();
  save_key(key_file(options.file), key, chosen_passphrase(options), false);
  std::printf("made key %s\n  %s\n", key.public_key().thumbprint().c_str(),
              printable(key_file(options.file), 400).c_str());
  return 0;
}

SigningKey present_key(const KeyOptions& options, const std::string& passphrase_file) {
  return load_key(key_file(options.file),
                  [&] { return ask_passphrase(passphrase_file, key_file(options.file), false); });
}

int key_show(const KeyOptions& options) {
  const PublicKey key = present_key(options, options.passphrase_file).public_key();
  if (options.jwk) {
    std::printf("%s\n", canonical_json(key.jwk()).c_str());
    return 0;
  }
  std::printf("key %s\n  %s\n", key.thumbprint().c_str(), printable(key_file(options.file), 400).c_str());
  for (const PublicKey& known : known_keys())
    if (!(known == key)) std::printf("known %s\n", known.thumbprint().c_str());
  return 0;
}

// The new key is known, and named in the ledger, before it takes the old one's place.
int key_rotate(const KeyOptions& options) {
  const std::string file = key_file(options.file);
  const SigningKey old = present_key(options, options.old_passphrase_file);
  const SigningKey key = SigningKey::random();
  const std::string passphrase = chosen_passphrase(options);
  const std::string ledger = ledger_file(options.ledger);
  if (!options.ledger.empty() || ::access(ledger.c_str(), F_OK) == 0) {
    Ledger opened(ledger, Ledger::Mode::write);
    const std::uint64_t number = record_key(opened, key.public_key(), old.public_key().thumbprint());
    save_key(file, key, passphrase, true);
    std::fprintf(stderr, "recorded: entry %llu\n", static_cast<unsigned long long>(number));
  } else {
    save_key(file, key, passphrase, true);
  }
  std::printf("made key %s\n  it takes over from %s, which stays known\n",
              key.public_key().thumbprint().c_str(), old.public_key().thumbprint().c_str());
  return 0;
}

}  // namespace

std::function<int()> set_up_key(CLI::App& app) {
  const auto options = std::make_shared<KeyOptions>();
  app.require_subcommand(1);
  options->fresh = app.add_subcommand("new", "make the key that signs evidence");
  options->show = app.add_subcommand("show", "show which key signs, and which are known");
  options->rotate = app.add_subcommand("rotate", "make a new key in place of the old one, which stays known");
  for (CLI::App* each : {options->fresh, options->show, options->rotate}) {
    each->add_option("--key-file", options->file, "private key file, instead of the one in the data folder")
        ->type_name("FILE");
    each->add_option("--passphrase-file", options->passphrase_file, "file that holds the passphrase")
        ->type_name("FILE");
  }
  for (CLI::App* each : {options->fresh, options->rotate})
    each->add_flag("--passphrase", options->passphrase, "ask for a passphrase at the terminal");
  options->rotate
      ->add_option("--old-passphrase-file", options->old_passphrase_file,
                   "file that holds the old key's passphrase")
      ->type_name("FILE");
  options->rotate
      ->add_option("--ledger", options->ledger, "ledger file, instead of the one in the data folder")
      ->type_name("FILE");
  options->show->add_flag("--jwk", options->jwk, "print the public key as JWK");
  return [options] {
    return options->fresh->parsed()  ? key_new(*options)
           : options->show->parsed() ? key_show(*options)
                                     : key_rotate(*options);
  };
}

}  // namespace paneproof
