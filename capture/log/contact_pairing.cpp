#include "capture/log/contact_pairing.hpp"

#include <algorithm>
#include <cstddef>
#include <limits>

namespace paneproof {
namespace {

// The assignment problem by shortest augmenting paths with potentials (Kuhn-Munkres); rows <= columns.
class Assignment {
 public:
  Assignment(const std::vector<Place>& rows, const std::vector<Place>& columns, double cap)
      : rows_(rows),
        columns_(columns),
        cap_(cap),
        row_price_(rows.size() + 1),
        column_price_(columns.size() + 1),
        row_of_(columns.size() + 1, 0),
        reached_from_(columns.size() + 1, 0) {
    for (std::size_t row = 1; row <= rows.size(); ++row) place(row);
  }
  // The row that took this column, or -1.
  int row_of(std::size_t column) const { return static_cast<int>(row_of_[column + 1]) - 1; }

 private:
  double cost(std::size_t row, std::size_t column) const {
    const double dx = rows_[row - 1].x - columns_[column - 1].x;
    const double dy = rows_[row - 1].y - columns_[column - 1].y;
    return std::min(cap_, dx * dx + dy * dy);
  }

  void place(std::size_t row) {
    constexpr double kFar = std::numeric_limits<double>::infinity();
    std::vector<double> slack(columns_.size() + 1, kFar);
    std::vector<char> done(columns_.size() + 1, 0);
    std::size_t column = 0;
    row_of_[0] = row;
    do {
      done[column] = 1;
      const std::size_t from = row_of_[column];
      double step = kFar;
      std::size_t next = 0;
      for (std::size_t j = 1; j <= columns_.size(); ++j) {
        if (done[j]) continue;
        const double reduced = cost(from, j) - row_price_[from] - column_price_[j];
        if (reduced < slack[j]) {
          slack[j] = reduced;
          reached_from_[j] = column;
        }
        if (next == 0 || slack[j] < step) {
          step = slack[j];
          next = j;
        }
      }
      for (std::size_t j = 0; j <= columns_.size(); ++j) {
        if (done[j]) {
          row_price_[row_of_[j]] += step;
          column_price_[j] -= step;
        } else {
          slack[j] -= step;
        }
      }
      column = next;
    } while (row_of_[column] != 0);
    for (; column != 0; column = reached_from_[column]) row_of_[column] = row_of_[reached_from_[column]];
  }

  const std::vector<Place>& rows_;
  const std::vector<Place>& columns_;
  double cap_;
  std::vector<double> row_price_, column_price_;
  std::vector<std::size_t> row_of_, reached_from_;
};

}  // namespace

std::vector<int> nearest_pairing(const std::vector<Place>& before, const std::vector<Place>& now,
                                 double gate) {
  std::vector<int> partner(now.size(), -1);
  if (before.empty() || now.empty()) return partner;
  const double cap = std::min(gate * gate, 1e30);  // squares of 33-bit differences stay far below
  const auto near = [&](int i, std::size_t j) {
    const double dx = before[static_cast<std::size_t>(i)].x - now[j].x;
    const double dy = before[static_cast<std::size_t>(i)].y - now[j].y;
    return dx * dx + dy * dy <= cap;
  };
  if (before.size() <= now.size()) {
    const Assignment pairs(before, now, cap);
    for (std::size_t j = 0; j < now.size(); ++j) partner[j] = pairs.row_of(j);
  } else {
    const Assignment pairs(now, before, cap);
    for (std::size_t i = 0; i < before.size(); ++i)
      if (pairs.row_of(i) >= 0) partner[static_cast<std::size_t>(pairs.row_of(i))] = static_cast<int>(i);
  }
  for (std::size_t j = 0; j < now.size(); ++j)
    if (partner[j] >= 0 && !near(partner[j], j)) partner[j] = -1;
  return partner;
}

}  // namespace paneproof
