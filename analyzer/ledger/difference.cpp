#include "analyzer/ledger/difference.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace paneproof {
namespace {

constexpr double false_share = 0.05;

double log_choose(int n, int k) {
  return std::lgamma(n + 1.0) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1.0);
}

int blocks_across(const CellPassages& all) { return (all.columns + 2) / 3; }
int blocks_down(const CellPassages& all) { return (all.rows + 2) / 3; }

// The cell, its block, its column, its row.
std::array<std::size_t, 4> groups_of(const CellPassages& all, int column, int row) {
  const int cells = all.columns * all.rows, blocks = blocks_across(all) * blocks_down(all);
  const auto number = [](int value) { return static_cast<std::size_t>(value); };
  return {number(row * all.columns + column), number(cells + row / 3 * blocks_across(all) + column / 3),
          number(cells + blocks + column), number(cells + blocks + all.columns + row)};
}

class Counter {
 public:
  Counter(const Findings& findings, CellPassages& into) : cell_mm_(findings.grid.cell_mm), into_(into) {}

  // Cells that a straight way crosses, by steps of a quarter of a cell.
  void cross(double x1, double y1, double x2, double y2, std::set<std::size_t>& cells) const {
    const int steps = std::max(1, static_cast<int>(std::ceil(std::hypot(x2 - x1, y2 - y1) / cell_mm_ * 4)));
    for (int i = 0; i <= steps; ++i) {
      const double share = static_cast<double>(i) / steps;
      const int column =
          std::clamp(static_cast<int>((x1 + (x2 - x1) * share) / cell_mm_), 0, into_.columns - 1);
      const int row = std::clamp(static_cast<int>((y1 + (y2 - y1) * share) / cell_mm_), 0, into_.rows - 1);
      for (const std::size_t group : groups_of(into_, column, row)) cells.insert(group);
    }
  }

 private:
  double cell_mm_;
  CellPassages& into_;
};

}  // namespace

double fisher_exact(int k1, int n1, int k2, int n2) {
  if (n1 <= 0 || n2 <= 0) return 1;
  const int lost = k1 + k2, all = n1 + n2;
  const auto chance = [&](int k) {
    return std::exp(log_choose(n1, k) + log_choose(n2, lost - k) - log_choose(all, lost));
  };
  const double seen = chance(k1);
  double sum = 0;
  for (int k = std::max(0, lost - n2); k <= std::min(n1, lost); ++k)
    if (const double p = chance(k); p <= seen * (1 + 1e-9)) sum += p;
  return std::min(1.0, sum);
}

CellPassages cell_passages(const Trace& trace, const Findings& findings) {
  CellPassages all{findings.grid.columns, findings.grid.rows, {}, {}};
  if (findings.grid.cells.empty()) return all;
  const auto count = static_cast<std::size_t>(all.columns * all.rows + blocks_across(all) * blocks_down(all) +
                                              all.columns + all.rows);
  all.passages.assign(count, 0);
  all.lost.assign(count, 0);
  const Counter counter(findings, all);
  const double widest = std::max(findings.fingertip_mm, 1.0);
  for (const Contact& contact : trace.contacts) {
    std::set<std::size_t> last;  // cells of the step before: staying is one passage
    for (std::uint32_t i = 1; i < contact.count; ++i) {
      const Report &a = trace.reports[contact.first + i - 1], &b = trace.reports[contact.first + i];
      if (std::hypot(b.x - a.x, b.y - a.y) > widest) {
        last.clear();
        continue;
      }
      std::set<std::size_t> now;
      counter.cross(a.x, a.y, b.x, b.y, now);
      for (const std::size_t cell : now)
        if (!last.count(cell)) ++all.passages[cell];
      last = std::move(now);
    }
  }
  for (const Dropout& dropout : findings.dropouts) {
    std::set<std::size_t> cells;
    counter.cross(dropout.x_mm, dropout.y_mm, dropout.regained.x_mm, dropout.regained.y_mm, cells);
    for (const std::size_t cell : cells) ++all.passages[cell], ++all.lost[cell];
  }
  return all;
}

std::vector<Change> difference(const CellPassages& before, const CellPassages& after) {
  const auto share = [](const CellPassages& all, std::size_t i) {
    return static_cast<double>(all.lost[i]) / all.passages[i];
  };
  std::vector<std::pair<double, std::size_t>> tested;
  for (std::size_t i = 0; i < before.passages.size(); ++i)
    if (before.passages[i] > 0 && after.passages[i] > 0)
      tested.emplace_back(fisher_exact(before.lost[i], before.passages[i], after.lost[i], after.passages[i]),
                          i);
  std::sort(tested.begin(), tested.end());
  std::size_t marked = 0;
  for (std::size_t rank = 1; rank <= tested.size(); ++rank)
    if (tested[rank - 1].first <=
        false_share * static_cast<double>(rank) / static_cast<double>(tested.size()))
      marked = rank;
  std::vector<bool> differs(before.passages.size(), false);
  for (std::size_t rank = 0; rank < marked; ++rank) differs[tested[rank].second] = true;
  std::vector<Change> changes;
  for (int row = 0; row < before.rows; ++row)
    for (int column = 0; column < before.columns; ++column) {
      const auto groups = groups_of(before, column, row);
      const std::size_t cell = groups[0];
      changes.push_back(before.passages[cell] == 0 || after.passages[cell] == 0 ? Change::untested
                                                                                : Change::none);
      for (const std::size_t group : groups) {
        if (!differs[group] || changes.back() == Change::untested) continue;
        const double was = share(before, group), is = share(after, group);
        if ((share(after, cell) > share(before, cell)) == (is > was) &&
            share(after, cell) != share(before, cell))
          changes.back() = is > was ? Change::worse : Change::better;
      }
    }
  return changes;
}

}  // namespace paneproof
