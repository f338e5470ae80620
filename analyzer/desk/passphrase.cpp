#include "analyzer/desk/passphrase.hpp"

#include <termios.h>
#include <unistd.h>

#include <cstdio>

#include "analyzer/ledger/key_files.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t longest = 1000;

// Echo off while it is typed.
class Unseen {
 public:
  Unseen() : known_(::tcgetattr(STDIN_FILENO, &before_) == 0) {
    termios quiet = before_;
    quiet.c_lflag &= ~static_cast<tcflag_t>(ECHO);
    if (known_) ::tcsetattr(STDIN_FILENO, TCSAFLUSH, &quiet);
  }
  ~Unseen() {
    if (known_) ::tcsetattr(STDIN_FILENO, TCSAFLUSH, &before_);
    std::fputc('\n', stderr);
  }

 private:
  termios before_{};
  bool known_;
};

std::string typed(const std::string& question) {
  std::fprintf(stderr, "%s: ", question.c_str());
  const Unseen unseen;
  std::string text;
  for (int c = std::getchar(); c != EOF && c != '\n' && text.size() < longest; c = std::getchar())
    text += static_cast<char>(c);
  return text;
}

}  // namespace

std::string ask_passphrase(const std::string& file, const std::string& for_key, bool anew) {
  std::string text;
  if (!file.empty()) {
    text = file_bytes(file, longest + 2);
    text = text.substr(0, text.find_first_of("\r\n"));
  } else {
    if (!::isatty(STDIN_FILENO))
      throw InputError(
          for_key, "",
          "expected --passphrase-file: this key has a passphrase, and there is no terminal to ask at", "",
          Exit::usage);
    text = typed("Passphrase of " + printable(for_key));
    if (anew && typed("Once more") != text)
      throw InputError("", "passphrase", "expected the same twice", "try again", Exit::usage);
  }
  if (text.empty()) throw InputError(file, "passphrase", "expected one that is not empty", "");
  return text;
}

}  // namespace paneproof
