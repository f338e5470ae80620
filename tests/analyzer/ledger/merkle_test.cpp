// The roots that Certificate Transparency's own tests publish for its eight leaves (RFC 6962 and 9162 print
// none), and paths against the tree that made them.
#include "analyzer/ledger/merkle.hpp"

#include <catch2/catch.hpp>

#include "analyzer/evidence/base64url.hpp"

using namespace paneproof;

namespace {

std::vector<std::string> published_hashes(std::size_t count) {
  const char* leaves[] = {
      "", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"};
  std::vector<std::string> hashes;
  for (std::size_t i = 0; i < count; ++i) hashes.push_back(leaf_hash(*from_hex(leaves[i])));
  return hashes;
}

}  // namespace

TEST_CASE("the published leaves give the published roots") {
  const std::pair<std::size_t, const char*> roots[] = {
      {1, "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d"},
      {3, "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77"},
      {5, "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4"},
      {8, "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"}};
  for (const auto& [size, root] : roots) CHECK(hex(merkle_root(published_hashes(size))) == root);
}

TEST_CASE("an empty tree has the digest of nothing as root") {  // RFC 9162, 2.1.1; FIPS 180-4's SHA-256("")
  CHECK(hex(merkle_root({})) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("a growing tree has the root of the whole at every size") {
  GrowingTree tree;
  std::vector<std::string> hashes;
  for (int i = 0; i < 70; ++i) {
    CHECK(tree.root() == merkle_root(hashes));
    hashes.push_back(leaf_hash(std::to_string(i)));
    tree.add(hashes.back());
  }
}

TEST_CASE("every leaf's path leads to the root, and no other leaf's does") {
  std::vector<std::string> hashes;
  for (std::size_t size = 1; size <= 33; ++size) {
    hashes.push_back(leaf_hash(std::to_string(size)));
    for (std::size_t i = 0; i < size; ++i) {
      const auto path = merkle_path(hashes, i);
      CHECK(root_of_path(hashes[i], i, size, path) == merkle_root(hashes));
      CHECK(root_of_path(leaf_hash("other"), i, size, path) != merkle_root(hashes));
      if (size > 1) CHECK(root_of_path(hashes[i], (i + 1) % size, size, path) != merkle_root(hashes));
    }
  }
}
