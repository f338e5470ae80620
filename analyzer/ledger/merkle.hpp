// Merkle trees of RFC 9162, section 2.1 (the same as RFC 6962's): a root that no other list of leaves has,
// and paths that show one leaf of it. Hashes are 32 bytes.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace paneproof {

std::string leaf_hash(std::string_view leaf);                          // SHA-256(00 leaf)
std::string node_hash(std::string_view left, std::string_view right);  // SHA-256(01 left right)

// The root of a list that grows: O(log n) memory.
class GrowingTree {
 public:
  void add(const std::string& leaf);  // its hash
  std::string root() const;           // of what was added; SHA-256("") of nothing
  std::uint64_t size() const { return size_; }

 private:
  std::vector<std::string> peaks_;  // roots of full subtrees, the largest first
  std::uint64_t size_ = 0;
};

std::string merkle_root(const std::vector<std::string>& leaf_hashes);
// The hashes beside the way from the leaf to the root, lowest first. `index` is below the size.
std::vector<std::string> merkle_path(const std::vector<std::string>& leaf_hashes, std::uint64_t index);
// The root that a leaf and its path give (2.1.3.2); "" when the path has the wrong length.
std::string root_of_path(const std::string& leaf, std::uint64_t index, std::uint64_t size,
                         const std::vector<std::string>& path);

}  // namespace paneproof
