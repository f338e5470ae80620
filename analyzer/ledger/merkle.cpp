#include "analyzer/ledger/merkle.hpp"

#include <bit>

#include "analyzer/evidence/base64url.hpp"

namespace paneproof {
namespace {

std::string root_of(const std::vector<std::string>& hashes, std::size_t first, std::size_t count) {
  if (count == 0) return sha256_bytes("");
  if (count == 1) return hashes[first];
  const std::size_t left = std::bit_floor(count - 1);
  return node_hash(root_of(hashes, first, left), root_of(hashes, first + left, count - left));
}

void path_of(std::vector<std::string>& path, const std::vector<std::string>& hashes, std::size_t first,
             std::size_t count, std::size_t index) {
  if (count <= 1) return;
  const std::size_t left = std::bit_floor(count - 1);
  if (index < left) {
    path_of(path, hashes, first, left, index);
    path.push_back(root_of(hashes, first + left, count - left));
  } else {
    path_of(path, hashes, first + left, count - left, index - left);
    path.push_back(root_of(hashes, first, left));
  }
}

}  // namespace

std::string leaf_hash(std::string_view leaf) { return sha256_bytes(std::string(1, '\0').append(leaf)); }

std::string node_hash(std::string_view left, std::string_view right) {
  return sha256_bytes(std::string(1, '\1').append(left).append(right));
}

void GrowingTree::add(const std::string& leaf) {
  peaks_.push_back(leaf);
  ++size_;
  for (std::uint64_t full = size_; full % 2 == 0; full /= 2) {
    const std::string right = std::move(peaks_.back());
    peaks_.pop_back();
    peaks_.back() = node_hash(peaks_.back(), right);
  }
}

std::string GrowingTree::root() const {
  if (peaks_.empty()) return sha256_bytes("");
  std::string root = peaks_.back();
  for (std::size_t i = peaks_.size() - 1; i-- > 0;) root = node_hash(peaks_[i], root);
  return root;
}

std::string merkle_root(const std::vector<std::string>& hashes) { return root_of(hashes, 0, hashes.size()); }

std::vector<std::string> merkle_path(const std::vector<std::string>& hashes, std::uint64_t index) {
  std::vector<std::string> path;
  path_of(path, hashes, 0, hashes.size(), index);
  return path;
}

std::string root_of_path(const std::string& leaf, std::uint64_t index, std::uint64_t size,
                         const std::vector<std::string>& path) {
  if (index >= size) return "";
  std::uint64_t fn = index, sn = size - 1;
  std::string root = leaf;
  for (const std::string& beside : path) {
    if (sn == 0) return "";
    if (fn % 2 == 1 || fn == sn) {
      root = node_hash(beside, root);
      while (fn % 2 == 0 && fn != 0) fn /= 2, sn /= 2;
    } else {
      root = node_hash(root, beside);
    }
    fn /= 2;
    sn /= 2;
  }
  return sn == 0 ? root : "";
}

}  // namespace paneproof
