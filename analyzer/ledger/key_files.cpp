#include "analyzer/ledger/key_files.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>

#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/ledger/store.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t largest_key = 1 << 16;

std::string known_folder() { return data_folder() + "/known-keys"; }

[[noreturn]] void broken(const std::string& file, const char* what, Exit exit) {
  throw InputError(file, "", std::string(what) + ": " + std::strerror(errno), "", exit);
}

std::string read_open(int fd, const std::string& file, std::size_t largest) {
  std::string bytes;
  char block[65536];
  for (;;) {
    const ssize_t got = ::read(fd, block, sizeof block);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) broken(file, "cannot read", Exit::io_error);
    if (got == 0) return bytes;
    bytes.append(block, static_cast<std::size_t>(got));
    if (bytes.size() > largest)
      throw InputError(file, "", "expected at most " + std::to_string(largest) + " bytes", "");
  }
}

struct Opened {
  explicit Opened(const std::string& file) : fd(::open(file.c_str(), O_RDONLY | O_CLOEXEC)) {}
  ~Opened() {
    if (fd >= 0) ::close(fd);
  }
  int fd;
};

void sync_parent(const std::string& file) {
  const Opened folder(std::filesystem::path(file).parent_path().empty()
                          ? "."
                          : std::filesystem::path(file).parent_path().string());
  if (folder.fd >= 0 && ::fsync(folder.fd) != 0 && errno != EINVAL)
    broken(file, "cannot write", Exit::io_error);
}

// A file with the secret in it exists at no time with any other mode.
void write_secret(const std::string& file, const std::string& text, bool replace) {
  const std::string beside = file + ".part-" + std::to_string(::getpid());
  const int fd = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
  if (fd < 0) broken(file, "cannot create", Exit::cannot_create);
  const bool written = ::write(fd, text.data(), text.size()) == static_cast<ssize_t>(text.size()) &&
                       ::fchmod(fd, 0600) == 0 && ::fsync(fd) == 0;
  ::close(fd);
  const bool placed = written && (replace ? ::rename(beside.c_str(), file.c_str())
                                          : ::link(beside.c_str(), file.c_str())) == 0;
  const int why = errno;
  if (!placed || !replace) ::unlink(beside.c_str());
  errno = why;
  if (!placed && why == EEXIST)
    throw InputError(file, "", "there is a key already",
                     "paneproof key rotate replaces it, and keeps the old one known", Exit::cannot_create);
  if (!placed) broken(file, "cannot write", Exit::io_error);
  sync_parent(file);
}

}  // namespace

std::string key_file(const std::string& named) {
  return named.empty() ? data_folder() + "/signing-key.pem" : named;
}

SigningKey load_key(const std::string& file, const Passphrase& passphrase) {
  const Opened opened(file);
  if (opened.fd < 0 && errno == ENOENT)
    throw InputError(file, "", "no signing key here", "paneproof key new makes one", Exit::no_input);
  if (opened.fd < 0) broken(file, "cannot open", Exit::no_input);
  struct stat facts = {};
  if (::fstat(opened.fd, &facts) != 0 || !S_ISREG(facts.st_mode))
    throw InputError(file, "", "expected a key file", "", Exit::no_input);
  if (facts.st_mode & 077)
    throw InputError(file, "", "expected a private key that only its owner can read (mode 0600)",
                     "chmod 600 it; if others may have read it, paneproof key rotate");
  return SigningKey::from_pem(read_open(opened.fd, file, largest_key), file, passphrase);
}

void save_key(const std::string& file, const SigningKey& key, const std::string& passphrase, bool replace) {
  make_folder(known_folder());
  const std::string folder = std::filesystem::path(file).parent_path();
  if (!folder.empty()) make_folder(folder);
  if (!replace && ::access(file.c_str(), F_OK) == 0) {
    errno = EEXIST;
    throw InputError(file, "", "there is a key already",
                     "paneproof key rotate replaces it, and keeps the old one known", Exit::cannot_create);
  }
  const PublicKey& shown = key.public_key();
  write_file(known_folder() + "/" + shown.thumbprint() + ".jwk", canonical_json(shown.jwk()) + "\n");
  write_secret(file, key.pem(passphrase), replace);
}

std::vector<PublicKey> known_keys() {
  std::vector<PublicKey> keys;
  std::error_code none;
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::directory_iterator(known_folder(), none))
    if (entry.path().extension() == ".jwk") files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  for (const std::string& file : files)
    keys.push_back(PublicKey::from_jwk(strict_json(file_bytes(file, largest_key), file), file));
  return keys;
}

std::string file_bytes(const std::string& file, std::size_t largest) {
  const Opened opened(file);
  if (opened.fd < 0) broken(file, "cannot open", Exit::no_input);
  struct stat facts = {};
  if (::fstat(opened.fd, &facts) == 0 && S_ISDIR(facts.st_mode))
    throw InputError(file, "", "is a folder", "", Exit::no_input);
  return read_open(opened.fd, file, largest);
}

}  // namespace paneproof
