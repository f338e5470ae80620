#include "analyzer/cli/progress.hpp"

#include <unistd.h>

#include <cstdio>
#include <string>

namespace paneproof {
namespace {
constexpr std::size_t bar_columns = 40;
}

Progress::Progress(std::size_t total) : total_(total), shown_(isatty(STDERR_FILENO) != 0) { draw(); }

Progress::~Progress() {
  if (shown_) std::fprintf(stderr, "\r%*s\r", static_cast<int>(bar_columns + 24), "");
}

void Progress::one_done() {
  const std::lock_guard lock(mutex_);
  ++done_;
  draw();
}

void Progress::draw() {
  if (!shown_) return;
  const std::size_t filled = total_ ? bar_columns * done_ / total_ : bar_columns;
  const std::string bar = std::string(filled, '=') + std::string(bar_columns - filled, '.');
  std::fprintf(stderr, "\r%s %zu of %zu ", bar.c_str(), done_, total_);
  std::fflush(stderr);
}

ProgressBar::ProgressBar() : shown_(isatty(STDERR_FILENO) != 0) {}

ProgressBar::~ProgressBar() {
  if (drawn_) std::fprintf(stderr, "\r%*s\r", static_cast<int>(bar_columns + 24), "");
}

void ProgressBar::show(double share) {
  if (!shown_) return;
  const auto filled = static_cast<std::size_t>(static_cast<double>(bar_columns) * (share < 0   ? 0
                                                                                   : share > 1 ? 1
                                                                                               : share));
  std::fprintf(stderr, "\r%s%s %3.0f %% ", std::string(filled, '=').c_str(),
               std::string(bar_columns - filled, '.').c_str(), 100 * share);
  std::fflush(stderr);
  drawn_ = true;
}

}  // namespace paneproof
