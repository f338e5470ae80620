// A command that writes over a file which it reads may destroy the only copy of a sweep, and two results in
// one file are one result: such command lines are refused before anything is read or written.
#pragma once

#include <string>
#include <vector>

namespace paneproof {

// A file that is to be written, and the option that names it: {"--json", "result.json"}.
struct Output {
  std::string option, path;
};

// Throws InputError (64) when an output is one of the files that are read, by whatever name or link, or is
// named by two options. "" and "-" are no files; devices and pipes hold nothing that could be lost.
void keep_apart(const std::vector<std::string>& read, const std::vector<Output>& written);

}  // namespace paneproof
