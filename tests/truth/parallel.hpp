// One result for each of 0..count-1, made on several threads; in order, so sums are the same on any number.
#pragma once

#include <atomic>
#include <cstddef>
#include <thread>
#include <vector>

namespace paneproof {

template <class Result, class Make>
std::vector<Result> in_parallel(std::size_t count, unsigned threads, Make make) {
  std::vector<Result> results(count);
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t k = next++; k < count; k = next++) results[k] = make(k);
  };
  std::vector<std::thread> others;
  for (unsigned t = 1; t < threads; ++t) others.emplace_back(work);
  work();
  for (std::thread& thread : others) thread.join();
  return results;
}

}  // namespace paneproof
