#include "capture/bytes/apart.hpp"

#include <filesystem>
#include <string>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

namespace fs = std::filesystem;

bool no_file(const std::string& path) {
  std::error_code unknown;
  const fs::file_status status = fs::status(path, unknown);
  return path.empty() || path == "-" || (fs::exists(status) && !fs::is_regular_file(status));
}

// Of files that are there the system tells; of those to be made the names do.
bool same_file(const std::string& a, const std::string& b) {
  if (no_file(a) || no_file(b)) return false;
  std::error_code unknown;
  if (fs::equivalent(a, b, unknown)) return true;
  const auto whole = [](const std::string& path) {
    std::error_code nowhere;
    const fs::path known = fs::weakly_canonical(fs::absolute(path, nowhere), nowhere);
    return nowhere ? fs::path(path) : known;
  };
  return whole(a) == whole(b);
}

}  // namespace

void keep_apart(const std::vector<std::string>& read, const std::vector<Output>& written) {
  for (std::size_t i = 0; i < written.size(); ++i) {
    const std::string place = written[i].option + ' ' + written[i].path;
    for (const std::string& input : read)
      if (same_file(input, written[i].path))
        throw InputError(
            "", place, "expected another file than " + printable(input) + ", which is read and would be lost",
            "name another", Exit::usage);
    for (std::size_t k = 0; k < i; ++k)
      if (same_file(written[k].path, written[i].path))
        throw InputError("", place, "expected another file than that of " + written[k].option, "name another",
                         Exit::usage);
  }
}

}  // namespace paneproof
