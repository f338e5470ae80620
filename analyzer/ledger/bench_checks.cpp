#include "analyzer/ledger/bench_checks.hpp"

#include <unistd.h>

#include <algorithm>

#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/ledger/key_files.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {

std::vector<std::string> bench_check_names() {
  const std::string file = data_folder() + "/bench-checks.txt";
  if (::access(file.c_str(), F_OK) != 0)
    return {"charging", "buttons", "cameras", "microphone", "speaker", "volume"};
  std::vector<std::string> names;
  std::string text = file_bytes(file, 1 << 16) + "\n";
  for (std::size_t end = text.find('\n'); end != text.npos; end = text.find('\n')) {
    std::string line = text.substr(0, std::min(end, text.find('#')));
    text.erase(0, end + 1);
    const std::size_t first = line.find_first_not_of(" \t\r");
    if (first == line.npos) continue;
    line = line.substr(first, line.find_last_not_of(" \t\r") - first + 1);
    if (line.find('=') != line.npos || names.size() >= 60)
      throw InputError(file, printable(line),
                       "expected at most 60 names of checks, one a line, without =", "");
    check_name(file, line, 40);
    names.push_back(line);
  }
  return names;
}

std::vector<std::pair<std::string, std::string>> checks_at(const Ledger& ledger, const std::string& job,
                                                           const std::string& stage) {
  std::vector<std::pair<std::string, std::string>> checks;
  for (const std::string& name : bench_check_names()) checks.emplace_back(name, "not tried");
  for (const Entry& entry : ledger.entries()) {
    const auto leaf = strict_json(entry.leaf, ledger.file());
    if (leaf.value("kind", "") != "check" || leaf.value("job", "") != job || leaf.value("stage", "") != stage)
      continue;
    const std::string name = leaf.value("name", "");
    const auto known =
        std::find_if(checks.begin(), checks.end(), [&](const auto& check) { return check.first == name; });
    if (known == checks.end())
      checks.emplace_back(name, leaf.value("state", ""));
    else
      known->second = leaf.value("state", "");
  }
  return checks;
}

}  // namespace paneproof
