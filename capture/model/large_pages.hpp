// Room for long vectors on large memory pages.
//
// Touching a fresh page of the usual 4 KiB can cost more than what is then done with it; where the system
// has large pages (2 MiB), it gives them for the asking. Address space only: pages are taken as used.
#pragma once

#include <sys/mman.h>

#include <cstddef>
#include <cstdint>
#include <vector>

namespace paneproof {

// Reserves room for `count` elements and asks for large pages where they fit wholly. A hint: it may fail.
template <class Element>
void reserve_on_large_pages(std::vector<Element>& vector, std::size_t count) {
  constexpr std::uintptr_t large = std::uintptr_t{1} << 21;
  vector.reserve(count);
  const auto begin = (reinterpret_cast<std::uintptr_t>(vector.data()) + large - 1) / large * large;
  const auto end = reinterpret_cast<std::uintptr_t>(vector.data() + vector.capacity()) / large * large;
  if (end > begin) madvise(reinterpret_cast<void*>(begin), end - begin, MADV_HUGEPAGE);
}

}  // namespace paneproof
