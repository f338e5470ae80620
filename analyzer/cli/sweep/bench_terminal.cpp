#include "analyzer/cli/sweep/bench_terminal.hpp"

#include <signal.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>

#include "analyzer/report/cell_map.hpp"
#include "analyzer/report/terminal.hpp"

namespace paneproof {
namespace {

volatile sig_atomic_t stops = 0;
void count_stop(int) { stops = stops + 1; }

constexpr int most_columns = 60, most_rows = 20;

}  // namespace

int stops_asked() {
  static const bool listening = [] {
    struct sigaction action = {};
    action.sa_handler = count_stop;
    ::sigaction(SIGINT, &action, nullptr);
    return true;
  }();
  return listening ? stops : 0;
}

BenchTerminal::BenchTerminal()
    : shown_(isatty(STDERR_FILENO) != 0), colour_(shown_ && !std::getenv("NO_COLOR")) {}

void BenchTerminal::say(const std::string& line) {
  std::fprintf(stderr, "%s\n", line.c_str());
  drawn_rows_ = 0;
}

void BenchTerminal::draw(const Judged& judged) {
  if (!shown_) return;
  const CellMap map = cell_map(judged.findings.grid, most_columns, most_rows);
  std::string out = drawn_rows_ ? "\x1b[" + std::to_string(drawn_rows_) + "A" : "";
  for (const auto& row : map.rows) {
    out += "\x1b[2K  ";
    for (const MapMark mark : row) out += static_cast<char>(mark);
    out += '\n';
  }
  char line[80];
  std::snprintf(line, sizeof line,
                "\x1b[2K  proven %5.1f %%   (. proven  # silent  %% comes and goes  ? left)\n",
                100 * judged.findings.coverage.proven);
  out += line;
  drawn_rows_ = static_cast<int>(map.rows.size()) + 1;
  std::fputs(out.c_str(), stderr);
}

void BenchTerminal::verdict(const CheckResult& result) {
  std::fputs(terminal_summary(result, colour_).c_str(), stderr);
  drawn_rows_ = 0;
}

}  // namespace paneproof
