// Is the ledger what it was? Every column of every entry, the tree, and its continuity from heads and
// evidence files that were handed out earlier.
#pragma once

#include <string>
#include <vector>

#include "analyzer/evidence/key.hpp"
#include "analyzer/ledger/store.hpp"

namespace paneproof {

struct HandedOut {
  std::string name;   // of the file
  std::string bytes;  // an evidence file
};

struct EarlierHead {
  std::string name;
  TreeHead head;
};

// One sentence for each thing that is wrong; none when the ledger is sound.
std::vector<std::string> audit(const Ledger& ledger, const std::vector<EarlierHead>& heads,
                               const std::vector<HandedOut>& files);

// A head as `paneproof ledger head` prints it, signed or not. Throws InputError (65).
EarlierHead earlier_head(const std::string& name, const std::string& text);
nlohmann::json head_json(const TreeHead& head);

}  // namespace paneproof
